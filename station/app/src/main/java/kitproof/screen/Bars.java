package kitproof.screen;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.procedure.Heard;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** Readings as bars: a value, its limits, and where the one lies against the others. Pure. */
final class Bars {
  /** How far a bar reaches beyond its limits, in widths of what lies between them. */
  private static final double BEYOND = 1;

  /** Of what stands beside a value: a tone of whole cycles is not quite the one that is meant. */
  private static final int DIGITS = 3;

  private Bars() {}

  static RunView.LiveView of(Watched.Bounded watched, Reading reading) {
    String source = watched.source().toString();
    if (reading instanceof Reading.Value value) {
      return bar(source, value.quantity(), watched.low(), watched.high());
    }
    String word =
        reading instanceof Reading.Overload overload
            ? "overload" + (overload.negative() ? ", negative" : "")
            : "no number";
    return without(source, word, watched.low(), watched.high());
  }

  /** What a step hears of a channel: a figure against its limit, or else the level. */
  static RunView.LiveView of(Audible step, Heard heard) {
    List<String> words = new ArrayList<>();
    Optional<Audible.Bounded> bounded = step.bounded(heard);
    bounded.ifPresent(found -> words.add(found.figure().result()));
    if (heard.tone() != null) {
      words.add(heard.tone().display(DIGITS));
    }
    if (bounded.isPresent()) {
      words.add(heard.output().display());
    }
    if (heard.power() != null) {
      words.add(heard.power().display(DIGITS));
    }
    String said = words.isEmpty() ? "output" : String.join(", ", words);
    String source = heard.channel().isEmpty() ? said : heard.channel() + ": " + said;
    return bounded
        .map(
            found -> bar(source, found.figure().value(), found.limit().low(), found.limit().high()))
        .orElseGet(() -> bar(source, heard.output(), null, null));
  }

  static RunView.LiveView of(Question.Adjustment wanted, Optional<LiveValue> live) {
    Quantity low = wanted.window().low();
    Quantity high = wanted.window().high();
    Optional<Quantity> quantity = live.flatMap(LiveValue::quantity);
    return quantity.isPresent()
        ? bar(wanted.control(), quantity.get(), low, high)
        : without(
            wanted.control(),
            live.map(LiveValue::trouble).orElse("waiting for a reading"),
            low,
            high);
  }

  private static RunView.LiveView without(
      String source, String word, @Nullable Quantity low, @Nullable Quantity high) {
    return new RunView.LiveView(source, word, display(low), display(high), "", null, null, null);
  }

  private static RunView.LiveView bar(
      String source, Quantity value, @Nullable Quantity low, @Nullable Quantity high) {
    Quantity lower = low != null && low.unit() == value.unit() ? low : null;
    Quantity upper = high != null && high.unit() == value.unit() ? high : null;
    String where = "";
    if (lower != null && value.compareTo(lower) < 0) {
      where = "too low";
    } else if (upper != null && value.compareTo(upper) > 0) {
      where = "too high";
    } else if (lower != null || upper != null) {
      where = "inside";
    }
    Double at = null;
    Double from = null;
    Double to = null;
    if (lower != null || upper != null) {
      double width = width(lower, upper);
      double begin = lower == null ? of(upper) - width : of(lower);
      double end = upper == null ? of(lower) + width : of(upper);
      double left = lower == null ? begin : begin - BEYOND * width;
      double right = upper == null ? end : end + BEYOND * width;
      at = share(value.value(), left, right);
      from = share(begin, left, right);
      to = share(end, left, right);
    }
    return new RunView.LiveView(
        source, value.display(), display(lower), display(upper), where, at, from, to);
  }

  /** Between the limits; of a single one its distance from nothing. */
  private static double width(@Nullable Quantity low, @Nullable Quantity high) {
    double width =
        low != null && high != null
            ? of(high) - of(low)
            : Math.max(Math.abs(of(low)), Math.abs(of(high)));
    return width > 0 ? width : 1;
  }

  private static double of(@Nullable Quantity quantity) {
    return quantity == null ? 0 : quantity.value();
  }

  private static String display(@Nullable Quantity quantity) {
    return quantity == null ? "" : quantity.display();
  }

  static double share(double value, double from, double to) {
    return Math.max(0, Math.min(1, (value - from) / (to - from)));
  }
}
