package kitproof.signal;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** A filter of second-order sections with the coefficients of filter_responses.csv. */
record Biquads(double rate, List<double[]> sections) {
  private static final String FILE = "filter_responses.csv";
  private static final String[] NAMES = {"b0", "b1", "b2", "a1", "a2"};

  static Biquads named(String filter) {
    List<Map<String, String>> rows =
        Reference.rows(FILE).stream().filter(row -> row.get("filter").equals(filter)).toList();
    List<double[]> sections = new ArrayList<>();
    boolean single = rows.stream().anyMatch(row -> row.get("quantity").equals("b0"));
    int count =
        single ? 1 : (int) rows.stream().filter(row -> row.get("quantity").endsWith("_b0")).count();
    for (int s = 0; s < count; s++) {
      double[] section = new double[NAMES.length];
      for (int i = 0; i < NAMES.length; i++) {
        String quantity = single ? NAMES[i] : "sos" + s + "_" + NAMES[i];
        section[i] = Reference.value(FILE, "filter", filter, "quantity", quantity);
      }
      sections.add(section);
    }
    String rate = filter.substring(filter.indexOf("fs=") + 3).split(" ")[0];
    return new Biquads(Double.parseDouble(rate), sections);
  }

  double[] filter(double[] x) {
    double[] y = x.clone();
    for (double[] c : sections) {
      double s1 = 0;
      double s2 = 0;
      for (int n = 0; n < y.length; n++) {
        double in = y[n];
        double out = c[0] * in + s1;
        s1 = c[1] * in - c[3] * out + s2;
        s2 = c[2] * in - c[4] * out;
        y[n] = out;
      }
    }
    return y;
  }
}
