package kitproof.cli;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** What commands have alike that run one plan on one bench, once. */
abstract class OneRunCommand implements Callable<Integer> {
  @Spec CommandSpec spec;

  @Parameters(paramLabel = "PLAN", description = "The plan file.")
  Path planFile = Path.of("");

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "The bench file.")
  Path benchFile = Path.of("");

  @Mixin IndexOption index = new IndexOption();

  @Mixin PluginsOption plugins = new PluginsOption();
}
