package kitproof.guide;

import java.util.stream.Collectors;
import kitproof.value.Node;

/** A piece of a file in one line, as a person would say it. */
final class SettingWords {
  private SettingWords() {}

  /** "configure CONF:FRES, unit ohm"; inner sections stand in brackets. */
  static String of(Node node) {
    if (node instanceof Node.Mapping mapping) {
      return mapping.entries().stream()
          .map(e -> e.key() + " " + inner(e.value()))
          .collect(Collectors.joining(", "));
    }
    if (node instanceof Node.Listing listing) {
      return listing.items().stream().map(SettingWords::inner).collect(Collectors.joining(", "));
    }
    return ((Node.Scalar) node).text();
  }

  private static String inner(Node node) {
    return node instanceof Node.Scalar ? of(node) : "(" + of(node) + ")";
  }
}
