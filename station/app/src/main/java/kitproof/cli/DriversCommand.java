package kitproof.cli;

import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.plugin.Drivers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Lists the driver plugins, their settings, and what of their kind is present on this machine. */
@Command(
    name = "drivers",
    mixinStandardHelpOptions = true,
    description =
        "Lists the driver plugins with their settings, and the serial ports and audio devices that"
            + " are present on this machine.",
    footer = {"", "Example:", "  kitproof drivers --json"})
final class DriversCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Mixin private PluginsOption plugins = new PluginsOption();

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  @Override
  public Integer call() {
    Drivers drivers = plugins.all();
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Printed.json(out, tree(drivers));
    } else {
      drivers
          .byId()
          .forEach((id, driver) -> print(out, driver, String.valueOf(drivers.origins().get(id))));
      drivers.troubles().forEach(trouble -> out.println("cannot be used: " + trouble));
    }
    out.flush();
    return drivers.troubles().isEmpty() ? ExitCodes.GOOD : ExitCodes.STATION_ERROR;
  }

  private static void print(PrintWriter out, DriverProvider driver, String origin) {
    DriverDescription description = driver.describe();
    out.println(
        description.id() + "  (" + String.join(", ", kinds(description)) + "; " + origin + ")");
    out.println("  " + description.summary());
    for (DriverDescription.Setting setting : description.settings()) {
      out.println(
          String.format(
              Locale.ROOT,
              "    %-18s %s%s",
              setting.key(),
              sentence(setting.meaning()),
              setting.initial().isEmpty()
                  ? " Must be given."
                  : " If left out: " + setting.initial() + "."));
      out.println(String.format(Locale.ROOT, "    %-18s   %s", "", setting.form()));
    }
    List<String> present = driver.present();
    present.forEach(line -> out.println("  present: " + line));
    out.println();
  }

  private static String sentence(String text) {
    String begun = text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
    return begun.endsWith(".") ? begun : begun + ".";
  }

  private static List<String> kinds(DriverDescription description) {
    return description.kinds().stream().map(Object::toString).sorted().toList();
  }

  private static Map<String, Object> tree(Drivers drivers) {
    List<Object> list = new ArrayList<>();
    drivers
        .byId()
        .forEach(
            (id, driver) -> {
              DriverDescription description = driver.describe();
              Map<String, Object> fields = new LinkedHashMap<>();
              fields.put("id", id);
              fields.put("summary", description.summary());
              fields.put("kinds", kinds(description));
              fields.put("origin", drivers.origins().get(id));
              fields.put(
                  "settings", description.settings().stream().map(DriversCommand::tree).toList());
              fields.put("present", driver.present());
              list.add(fields);
            });
    return Map.of(
        "drivers",
        list,
        "troubles",
        drivers.troubles().stream()
            .map(t -> Map.of("origin", t.origin(), "reason", t.reason()))
            .toList());
  }

  private static Map<String, Object> tree(DriverDescription.Setting setting) {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("key", setting.key());
    fields.put("form", setting.form());
    fields.put("initial", setting.initial());
    fields.put("meaning", setting.meaning());
    return fields;
  }
}
