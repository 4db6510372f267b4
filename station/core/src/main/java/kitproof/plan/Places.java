package kitproof.plan;

import java.util.List;
import kitproof.value.Location;
import kitproof.value.Node;

/** Finds where something stands in a file, for messages. */
public final class Places {
  private Places() {}

  /** The place of the piece under these keys, or of the last one on the way that is there. */
  public static Location of(Node from, String... keys) {
    Node node = from;
    for (String key : keys) {
      if (!(node instanceof Node.Mapping mapping) || mapping.get(key).isEmpty()) {
        break;
      }
      node = mapping.get(key).get();
    }
    return node.location();
  }

  /** The section under these keys, or an empty one. */
  static Node.Mapping mapping(Node from, String... keys) {
    Node node = from;
    for (String key : keys) {
      if (!(node instanceof Node.Mapping mapping) || mapping.get(key).isEmpty()) {
        return new Node.Mapping(from.location(), List.of());
      }
      node = mapping.get(key).get();
    }
    return node instanceof Node.Mapping mapping
        ? mapping
        : new Node.Mapping(node.location(), List.of());
  }
}
