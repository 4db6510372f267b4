package kitproof.document;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalInt;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import org.yaml.snakeyaml.DumperOptions.ScalarStyle;
import org.yaml.snakeyaml.LoaderOptions;
import org.yaml.snakeyaml.error.Mark;
import org.yaml.snakeyaml.error.MarkedYAMLException;
import org.yaml.snakeyaml.events.AliasEvent;
import org.yaml.snakeyaml.events.Event;
import org.yaml.snakeyaml.events.MappingStartEvent;
import org.yaml.snakeyaml.events.NodeEvent;
import org.yaml.snakeyaml.events.ScalarEvent;
import org.yaml.snakeyaml.events.SequenceStartEvent;
import org.yaml.snakeyaml.parser.ParserImpl;
import org.yaml.snakeyaml.reader.StreamReader;

/** Builds nodes from the YAML library's events, which know the place of every piece. */
final class NodeBuilder {
  private static final int DEEPEST = 40;
  private static final int LONGEST_TEXT = 10_000;
  private static final int LONGEST_KEY = 200;

  private final String file;
  private final ParserImpl events;
  private final List<Problem> problems = new ArrayList<>();

  NodeBuilder(String file, String text) {
    this.file = file;
    this.events = new ParserImpl(new StreamReader(text), new LoaderOptions());
  }

  /** The only document's root; an unprintable character comes as the library's exception. */
  Parsed<Node> build() {
    try {
      return document();
    } catch (MarkedYAMLException e) {
      problems.add(SyntaxMessages.problem(file, e));
      return Parsed.wrong(problems);
    }
  }

  private Parsed<Node> document() {
    events.getEvent(); // start of the stream
    if (events.checkEvent(Event.ID.StreamEnd)) {
      return YamlReader.wrong(Location.of(file), "an empty file", "keys with values (key: value)");
    }
    events.getEvent(); // start of the document
    Node root = node(0);
    if (root == null) {
      return Parsed.wrong(problems);
    }
    events.getEvent(); // end of the document
    if (!events.checkEvent(Event.ID.StreamEnd)) {
      report(
          events.peekEvent().getStartMark(),
          "a second document in the file",
          "one document; remove this \"---\" and what belongs to it");
    }
    return problems.isEmpty() ? Parsed.of(root) : Parsed.wrong(problems);
  }

  /** The next node; null if the nesting is too deep to go on. */
  private @Nullable Node node(int depth) {
    Event event = events.getEvent();
    Location location = at(event.getStartMark());
    if (depth > DEEPEST) {
      problems.add(
          Problem.of(location, "more than " + DEEPEST + " levels of nesting", "a flatter file"));
      return null;
    }
    if (event instanceof AliasEvent alias) {
      refuseSharing(event.getStartMark(), "the alias \"*" + alias.getAnchor() + "\"");
      return new Node.Scalar(location, "", false);
    }
    refuseAnchorAndTag((NodeEvent) event);
    if (event instanceof ScalarEvent scalar) {
      return text(scalar, location);
    }
    return event instanceof SequenceStartEvent
        ? listing(location, depth)
        : mapping(location, depth);
  }

  private Node.Scalar text(ScalarEvent scalar, Location location) {
    String text = scalar.getValue();
    if (text.length() > LONGEST_TEXT) {
      report(
          scalar.getStartMark(),
          "a text of " + text.length() + " characters",
          "no more than " + LONGEST_TEXT);
      text = "";
    }
    String control = control(text);
    if (control != null) { // it would reach terminals and file names
      report(scalar.getStartMark(), control + " in a text", "printable text");
      text = "";
    }
    return new Node.Scalar(location, text, scalar.getScalarStyle() != ScalarStyle.PLAIN);
  }

  /** The first control character but for ends of lines and tabs, which only escapes bring in. */
  private static @Nullable String control(String text) {
    OptionalInt first =
        text.chars().filter(c -> Character.isISOControl(c) && c != '\n' && c != '\t').findFirst();
    return first.isEmpty()
        ? null
        : String.format(Locale.ROOT, "the control character U+%04X", first.getAsInt());
  }

  private @Nullable Node listing(Location location, int depth) {
    List<Node> items = new ArrayList<>();
    while (!events.checkEvent(Event.ID.SequenceEnd)) {
      Node item = node(depth + 1);
      if (item == null) {
        return null;
      }
      items.add(item);
    }
    events.getEvent();
    return new Node.Listing(location, items);
  }

  private @Nullable Node mapping(Location location, int depth) {
    Map<String, Node.Entry> entries = new LinkedHashMap<>();
    while (!events.checkEvent(Event.ID.MappingEnd)) {
      Node key = node(depth + 1);
      Node value = key == null ? null : node(depth + 1);
      if (key == null || value == null) {
        return null;
      }
      String name = keyName(key);
      if (name == null) {
        continue;
      }
      Node.Entry first = entries.putIfAbsent(name, new Node.Entry(key.location(), name, value));
      if (first != null) {
        problems.add(
            Problem.of(
                key.location(),
                "the key \""
                    + name
                    + "\" a second time, first at line "
                    + first.location().line()
                    + ", column "
                    + first.location().column(),
                "each key once"));
      }
    }
    events.getEvent();
    return new Node.Mapping(location, List.copyOf(entries.values()));
  }

  private @Nullable String keyName(Node key) {
    if (!(key instanceof Node.Scalar scalar) || scalar.text().isEmpty()) {
      problems.add(Problem.of(key.location(), key.describe() + " as a key", "text as a key"));
      return null;
    }
    if (scalar.text().equals("<<") && !scalar.quoted()) {
      problems.add(
          Problem.of(key.location(), "the merge key \"<<\"", "the keys written out in each place"));
      return null;
    }
    if (scalar.text().length() > LONGEST_KEY) {
      problems.add(
          Problem.of(
              key.location(),
              "a key of " + scalar.text().length() + " characters",
              "no more than " + LONGEST_KEY));
      return null;
    }
    return scalar.text();
  }

  private void refuseAnchorAndTag(NodeEvent event) {
    if (event.getAnchor() != null) {
      refuseSharing(event.getStartMark(), "the anchor \"&" + event.getAnchor() + "\"");
    }
    String tag =
        event instanceof ScalarEvent scalar
            ? scalar.getTag()
            : event instanceof SequenceStartEvent list
                ? list.getTag()
                : ((MappingStartEvent) event).getTag();
    // a quoted text carries the tag "!" by itself
    if (tag != null && !tag.equals("!")) {
      report(event.getStartMark(), "the tag \"" + tag + "\"", "a value without a tag");
    }
  }

  private void refuseSharing(Mark mark, String found) {
    report(
        mark, found, "the value written out in each place; text that begins with & or * in quotes");
  }

  private void report(Mark mark, String found, String expected) {
    problems.add(Problem.of(at(mark), found, expected));
  }

  private Location at(Mark mark) {
    return new Location(file, mark.getLine() + 1, mark.getColumn() + 1);
  }
}
