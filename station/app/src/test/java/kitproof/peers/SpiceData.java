package kitproof.peers;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.complex.Complex;

/** Vectors that ngspice wrote: a header in words, then numbers in the processor's own form. */
final class SpiceData {
  private static final String START = "Binary:\n";
  private final List<String> names = new ArrayList<>();
  private final List<Complex[]> vectors = new ArrayList<>();

  private SpiceData() {}

  static SpiceData read(Path file) throws IOException {
    byte[] bytes = Files.readAllBytes(file);
    String all = new String(bytes, StandardCharsets.ISO_8859_1);
    int start = all.indexOf(START) + START.length();
    String[] header = all.substring(0, start).split("\n");
    boolean complex = false;
    int points = 0;
    SpiceData data = new SpiceData();
    for (int i = 0; i < header.length; i++) {
      if (header[i].startsWith("Flags:")) {
        complex = header[i].contains("complex");
      } else if (header[i].startsWith("No. Points:")) {
        points = Integer.parseInt(header[i].replaceAll("\\D+", ""));
      } else if (header[i].startsWith("\t")) {
        data.names.add(header[i].strip().split("\t")[1]);
        data.vectors.add(new Complex[points]);
      }
    }
    ByteBuffer numbers =
        ByteBuffer.wrap(bytes, start, bytes.length - start).order(ByteOrder.LITTLE_ENDIAN);
    for (int p = 0; p < points; p++) {
      for (Complex[] vector : data.vectors) {
        double re = numbers.getDouble();
        vector[p] = new Complex(re, complex ? numbers.getDouble() : 0);
      }
    }
    return data;
  }

  /** One vector, such as "v(out)" or "frequency". */
  Complex[] complex(String name) {
    int index = names.indexOf(name);
    if (index < 0) {
      throw new IllegalArgumentException(name + " is none of " + names);
    }
    return vectors.get(index);
  }

  /** The real part of one vector. */
  double[] real(String name) {
    Complex[] values = complex(name);
    double[] real = new double[values.length];
    for (int i = 0; i < real.length; i++) {
      real[i] = values[i].getReal();
    }
    return real;
  }
}
