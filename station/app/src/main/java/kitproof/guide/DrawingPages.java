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
    page.begin("section").element("h2", "Drawing");
    page.element(
        "p",
        "Each group is drawn as a selector: instruments on the left, the unit on the right, the"
            + " closed contact is what stands at rest. It shows what is connected to what by the"
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
      String head = group.name();
      List<Block.Line> lines = new ArrayList<>();
      int height = 0;
      for (Route route : group.routes()) {
        Block.Line line = line(route);
        if (height + line.height() > TALLEST_LINES && !lines.isEmpty()) {
          blocks.add(new Block(left, head, List.copyOf(lines)));
          head = group.name() + ", continued";
          lines.clear();
          height = 0;
        }
        lines.add(line);
        height += line.height();
      }
      blocks.add(new Block(left, head, List.copyOf(lines)));
    }
    for (Bench.Role role : bench.roles().values()) {
      if (role.kind() == InstrumentKind.METER) {
        blocks.add(
            new Block(role.name(), "", List.of(new Block.Line(false, "", "", functions(role)))));
      }
    }
    return blocks;
  }

  private static String functions(Bench.Role role) {
    return role.settings().get("functions").orElse(null) instanceof Node.Mapping functions
        ? functions.entries().stream().map(Node.Entry::key).collect(Collectors.joining(", "))
        : "its readings";
  }

  private static Block.Line line(Route route) {
    String unit =
        switch (route.purpose()) {
          case MAINS_OFF -> "no supply";
          case MUTE -> "no drive";
          case MAINS_LIMITED -> "mains inlet, limited";
          case MAINS_DIRECT -> "mains inlet, direct";
          case DRIVE -> "inputs";
          case LOAD -> "outputs";
          case RANGE -> "from the outputs";
          case COLD -> route.when().isEmpty() ? "nothing" : "";
          case OTHER -> "";
        };
    String when = route.when().toString();
    String both = unit.isEmpty() || when.isEmpty() ? unit + when : unit + ": " + when;
    return new Block.Line(
        route.relays().isEmpty(), String.join(" ", route.relays()), route.name(), both);
  }

  private static String left(Bench bench, Route.Purpose purpose) {
    return switch (purpose) {
      case MAINS_OFF, MAINS_LIMITED, MAINS_DIRECT -> "mains supply";
      case MUTE, DRIVE -> audio(bench, "outputs");
      case RANGE -> audio(bench, "inputs");
      case LOAD -> "load resistors, and " + audio(bench, "inputs");
      case COLD -> "a meter, for the cold unit";
      case OTHER -> "";
    };
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
