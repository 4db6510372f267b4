package kitproof.journal;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.event.CaptureShelf;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.plan.KeepCaptures;
import kitproof.plan.KeptAs;
import kitproof.plan.KeptCaptures;
import kitproof.value.Signal;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;

/**
 * The captures of a run in {@code records/captures/RUN}, full scale that of the input: as WAV of
 * 32-bit integers, so that a converter of up to 32 bits is kept bit by bit, or as FLAC of 24 bits,
 * which is as good for one of up to 24; where it is not the operator is told. On a calibrated bench
 * a copy of the calibration lies beside them, by which the run corrected what it made of them.
 *
 * <p>They are written as they come. At the end of the run they are forced to disk, or removed where
 * only those of units that did not pass are kept and this one did. A run that is cut off leaves
 * them where they are, without a word in its record.
 */
public final class CaptureFolder implements CaptureShelf {
  private static final String FOLDER = "captures";
  private static final String CALIBRATION = "calibration.yaml";

  private final Path records;
  private final Path folder;
  private final String name;
  private final KeptCaptures which;
  private final String calibration;
  private final List<Event.CaptureKept> written = new ArrayList<>();
  private boolean broken;
  private boolean rounded;

  /**
   * For one run.
   *
   * @param which whether a unit that passes has its captures kept too, and the form of all
   * @param calibration text of the calibration that the run corrects by; empty if by none
   */
  public CaptureFolder(Path records, String run, KeptCaptures which, String calibration) {
    this.records = records;
    this.name = SafeName.ofFile(run);
    this.folder = records.resolve(FOLDER).resolve(name);
    this.which = which;
    this.calibration = calibration;
  }

  @Override
  public String put(Taken taken) {
    if (broken) {
      return "";
    }
    String file =
        String.format(
            Locale.ROOT,
            "%04d-%s.%s",
            written.size() + 1,
            SafeName.ofFile(taken.step()),
            which.as());
    try {
      Files.createDirectories(folder);
      String corrections = corrections();
      Path path = folder.resolve(file);
      AudioPorts ports = taken.ports();
      String told = write(samples(ports, taken.capture().signal()), path);
      written.add(
          new Event.CaptureKept(
              taken.index(),
              taken.role(),
              FOLDER + "/" + name + "/" + file,
              Digests.of(path),
              ports.sampleRateHz(),
              named(ports.outputs()),
              named(ports.inputs()),
              taken.loads(),
              taken.range(),
              corrections,
              taken.capture().clipped(),
              taken.capture().lost(),
              taken.drives()));
      return told;
    } catch (IOException | IllegalArgumentException e) {
      broken = true;
      return "captures are not kept from here on: " + e.getMessage();
    }
  }

  /** The digest of the calibration's copy, written with the first capture. */
  private String corrections() throws IOException {
    if (calibration.isEmpty()) {
      return "";
    }
    Path copy = folder.resolve(CALIBRATION);
    if (!Files.exists(copy)) {
      Files.writeString(copy, calibration);
    }
    return Digests.of(copy);
  }

  /** What the operator should know of it; empty if there is nothing. */
  private String write(WavFile samples, Path path) throws IOException {
    if (which.as() == KeptAs.WAV) {
      samples.write(path);
      return "";
    }
    samples.writeFlac(path);
    if (rounded || samples.fitsFlac()) {
      return "";
    }
    rounded = true;
    return "captures are kept rounded to the 24 bits that FLAC holds; \"as: wav\" in the plan keeps"
        + " all that this interface gives";
  }

  private static WavFile samples(AudioPorts ports, Signal signal) {
    if (signal.sampleRateHz() != Math.rint(signal.sampleRateHz())) {
      throw new IllegalArgumentException(
          "a sound file has no place for " + signal.sampleRateHz() + " samples per second");
    }
    double[][] shares = new double[signal.channels()][];
    for (int c = 0; c < shares.length; c++) {
      double peak = ports.inputs().get(c).fullScalePeakVolts();
      shares[c] = signal.channel(c);
      for (int i = 0; i < shares[c].length; i++) {
        shares[c][i] /= peak;
      }
    }
    return WavFile.of(WavEncoding.PCM_32, (int) signal.sampleRateHz(), shares);
  }

  private static List<Event.Port> named(List<AudioPort> ports) {
    return ports.stream().map(p -> new Event.Port(p.name(), p.fullScalePeakVolts())).toList();
  }

  @Override
  public List<Event.CaptureKept> keep(Verdict verdict) {
    List<Event.CaptureKept> kept = new ArrayList<>();
    try {
      if (verdict == Verdict.PASS && which.keep() == KeepCaptures.FAILED) {
        remove();
        return List.of();
      }
      if (!written.isEmpty() && !calibration.isEmpty()) {
        force(folder.resolve(CALIBRATION));
      }
      for (Event.CaptureKept one : written) {
        force(records.resolve(one.file()));
        kept.add(one);
      }
      if (!kept.isEmpty()) {
        Durable.forceFolder(folder);
        Durable.forceFolder(records.resolve(FOLDER));
        Durable.forceFolder(records);
      }
    } catch (IOException e) {
      return kept; // what is not on record is not claimed to be kept
    }
    return kept;
  }

  private static void force(Path file) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.force(true);
    }
  }

  private void remove() throws IOException {
    if (Files.exists(folder)) {
      try (Stream<Path> all = Files.walk(folder)) {
        for (Path file : all.sorted(Comparator.reverseOrder()).toList()) {
          Files.delete(file);
        }
      }
    }
  }

  /** The captures that a record names, in order. */
  public static List<Event.CaptureKept> of(RunRecord record) {
    return record.events().stream()
        .map(entry -> entry.event())
        .filter(Event.CaptureKept.class::isInstance)
        .map(Event.CaptureKept.class::cast)
        .toList();
  }

  /**
   * Reads a capture back, in volts by the interface's stated full scale, as it was taken.
   *
   * @throws IOException if it is missing, altered since, or cannot be read; the message names it
   */
  public static Capture read(Path records, Event.CaptureKept kept) throws IOException {
    String trouble = trouble(records, kept);
    if (!trouble.isEmpty()) {
      throw new IOException("capture " + kept.file() + ": " + trouble);
    }
    WavFile wav = WavFile.read(records.resolve(kept.file()));
    double[][] volts = new double[wav.channels()][];
    for (int c = 0; c < volts.length; c++) {
      double peak = kept.inputs().get(c).fullScalePeakVolts();
      volts[c] = wav.channel(c);
      for (int i = 0; i < volts[c].length; i++) {
        volts[c][i] *= peak;
      }
    }
    return new Capture(Signal.of(kept.sampleRateHz(), volts), kept.clipped(), kept.lost());
  }

  /** What is wrong with a file that a record names; empty if it is as it was written. */
  public static String trouble(Path records, Event.CaptureKept kept) throws IOException {
    Path file = records.resolve(kept.file()).normalize();
    if (!file.startsWith(records.normalize())) {
      return "it would lie outside of the records";
    }
    String trouble = trouble(file, kept.digest());
    if (trouble.isEmpty() && !kept.corrections().isEmpty()) {
      String other = trouble(file.resolveSibling(CALIBRATION), kept.corrections());
      return other.isEmpty() ? "" : "of the calibration beside it: " + other;
    }
    return trouble;
  }

  private static String trouble(Path file, String digest) throws IOException {
    try {
      return Digests.of(file).equals(digest) ? "" : "it was altered after it was written";
    } catch (NoSuchFileException e) {
      return "it is missing";
    }
  }

  /**
   * The file with the calibration that a capture is to be corrected by; empty if by none.
   *
   * @throws IOException if it is missing or altered since
   */
  public static Optional<Path> corrections(Path records, Event.CaptureKept kept)
      throws IOException {
    if (kept.corrections().isEmpty()) {
      return Optional.empty();
    }
    Path file = records.resolve(kept.file()).resolveSibling(CALIBRATION);
    String trouble = trouble(file, kept.corrections());
    if (!trouble.isEmpty()) {
      throw new IOException(file + ": " + trouble);
    }
    return Optional.of(file);
  }

  /** The interface that a capture was taken with. */
  public static AudioPorts ports(Event.CaptureKept kept) {
    return new AudioPorts(kept.sampleRateHz(), of(kept.outputs()), of(kept.inputs()));
  }

  private static List<AudioPort> of(List<Event.Port> ports) {
    return ports.stream().map(p -> new AudioPort(p.name(), p.fullScalePeakVolts())).toList();
  }
}
