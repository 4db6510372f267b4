package kitproof.cli;

import java.nio.file.Path;
import kitproof.operator.Desk;
import kitproof.operator.PersonDriver;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Where driver plugins are besides those that come with the program. */
final class PluginsOption {
  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec;

  @Option(
      names = "--plugins",
      paramLabel = "DIR",
      description = "Folder of further driver plugins (default: station/plugins).")
  private @Nullable Path folder;

  private final Desk desk = new Desk();

  /** Where the driver for a person puts its questions. */
  Desk desk() {
    return desk;
  }

  /** All there are, those that cannot be used among them. */
  Drivers all() {
    return DriverLoader.load(folder == null ? Home.find().plugins() : folder)
        .and(new PersonDriver(desk));
  }

  /** Those that can be used; says on the error stream which cannot. */
  Drivers usable() {
    Drivers drivers = all();
    drivers
        .troubles()
        .forEach(t -> spec.commandLine().getErr().println("note: plugin left out: " + t));
    spec.commandLine().getErr().flush();
    return drivers;
  }
}
