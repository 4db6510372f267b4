package kitproof.guide;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.report.Markup;
import kitproof.value.Node;

/** The drawing, on as many sheets as it needs to stay legible. */
final class DrawingPages {
  /** Of one sheet, in user units, so that it fits Letter beside its heading. */
  private static final int TALLEST = 1150;

  /** Of the lines of one selector. */
  private static final int TALLEST_LINES = 1000;

  private final Markup page;

  DrawingPages(Markup page) {
    this.page = page;
  }

  void write(Bench bench, Wiring wiring) {
    page.begin("section", "class", "drawing").element("h2", "Drawing");
    page.element(
        "p",
        "Each group is drawn as a selector: instruments on the left, the unit on the right, the"
            + " closed contact is what stands at rest; a bar ends what leads nowhere. It shows what is connected to what by the"
            + " file's own names; the relays of one route are drawn as one contact.");
    List<Block> sheet = new ArrayList<>();
    int height = 0;
    for (Block block : blocks(bench, wiring)) {
      if (height + block.height() > TALLEST && !sheet.isEmpty()) {
        new Sheet(page).write(sheet);
        sheet.clear();
        height = 0;
      }
      sheet.add(block);
      height += block.height();
    }
    if (!sheet.isEmpty()) {
      new Sheet(page).write(sheet);
    }
    page.end();
  }

  private static List<Block> blocks(Bench bench, Wiring wiring) {
    List<Block> blocks = new ArrayList<>();
    for (Wiring.Group group : wiring.groups()) {
      String left = left(bench, group.purpose());
      String head = "Group " + group.name();
      List<Block.Line> lines = new ArrayList<>();
      int height = 0;
      for (Route route : group.routes()) {
        Block.Line line = line(route);
        if (height + line.height() > TALLEST_LINES && !lines.isEmpty()) {
          blocks.add(new Block(left, head, List.copyOf(lines)));
          head = "Group " + group.name() + ", continued";
          lines.clear();
          height = 0;
        }
        lines.add(line);
        height += line.height();
      }
      blocks.add(new Block(left, head, List.copyOf(lines)));
    }
    bench
        .fixedLoad()
        .ifPresent(
            load -> {
              String said = "a fixed load of " + load.display(6) + " on every output";
              blocks.add(new Block(loads(bench), said, List.of()));
            });
    for (Bench.Role role : bench.roles().values()) {
      String said = said(role);
      if (!said.isEmpty()) {
        blocks.add(new Block(role.name(), said, List.of()));
      }
    }
    return blocks;
  }

  /** At which port it is, and what of it no group switches; empty for a person. */
  private static String said(Bench.Role role) {
    return switch (role.kind()) {
      case METER -> port(role) + "reads " + functions(role) + "; its leads are not in the file";
      case SWITCHER -> port(role) + "moves the relays of " + groups(role);
      case AUDIO_INTERFACE ->
          port(role)
              + "outputs: "
              + channels(role, "outputs")
              + "; inputs: "
              + channels(role, "inputs");
      case OPERATOR -> "";
    };
  }

  private static String port(Bench.Role role) {
    return role.settings().get("line").map(line -> "at " + SettingWords.of(line) + ": ").orElse("");
  }

  private static String groups(Bench.Role role) {
    return role.routes().stream().map(Route::group).distinct().collect(Collectors.joining(", "));
  }

  private static String channels(Bench.Role role, String side) {
    return role.settings().get(side).orElse(null) instanceof Node.Mapping ports
        ? ports.entries().stream()
            .map(
                port ->
                    port.value() instanceof Node.Mapping of && of.get("channel").isPresent()
                        ? port.key() + " channel " + SettingWords.of(of.get("channel").get())
                        : port.key())
            .collect(Collectors.joining(", "))
        : "as its driver says";
  }

  private static String functions(Bench.Role role) {
    return role.settings().get("functions").orElse(null) instanceof Node.Mapping functions
        ? functions.entries().stream().map(Node.Entry::key).collect(Collectors.joining(", "))
        : "what its driver says";
  }

  private static Block.Line line(Route route) {
    boolean rest = route.relays().isEmpty();
    boolean dead =
        switch (route.purpose()) {
          case MAINS_OFF, MUTE -> true;
          case COLD -> rest;
          case MAINS_LIMITED, MAINS_DIRECT, DRIVE, LOAD, RANGE, OTHER -> false;
        };
    return new Block.Line(
        rest, dead, String.join(" ", route.relays()), route.name(), unit(route, dead));
  }

  /** What of the unit it concerns, as far as purpose and conditions tell. */
  private static String unit(Route route, boolean dead) {
    String when = route.when().toString();
    return switch (route.purpose()) {
      case MAINS_OFF -> "no supply";
      case MUTE -> "no drive";
      case MAINS_LIMITED -> also("mains inlet, limited", when);
      case MAINS_DIRECT -> also("mains inlet, direct", when);
      case DRIVE -> also("inputs", when);
      case RANGE -> also("from the outputs", when);
      case LOAD -> when.isEmpty() ? "outputs, as its name says" : when;
      case COLD, OTHER -> dead ? "nothing" : when.isEmpty() ? "as its name says" : when;
    };
  }

  private static String also(String what, String when) {
    return when.isEmpty() ? what : what + ": " + when;
  }

  private static String left(Bench bench, Route.Purpose purpose) {
    return switch (purpose) {
      case MAINS_OFF, MAINS_LIMITED, MAINS_DIRECT -> "mains supply";
      case MUTE, DRIVE -> audio(bench, "outputs");
      case RANGE -> audio(bench, "inputs");
      case LOAD -> loads(bench);
      case COLD -> "a meter, for the cold unit";
      case OTHER -> "";
    };
  }

  private static String loads(Bench bench) {
    return "load resistors, and " + audio(bench, "inputs");
  }

  private static String audio(Bench bench, String side) {
    List<String> names =
        bench.roles().values().stream()
            .filter(role -> role.kind() == InstrumentKind.AUDIO_INTERFACE)
            .map(Bench.Role::name)
            .toList();
    return (names.isEmpty() ? "interface" : String.join(", ", names)) + " " + side;
  }
}
