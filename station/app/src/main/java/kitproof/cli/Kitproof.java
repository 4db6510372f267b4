package kitproof.cli;

import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** The program without a command: says which there are. Its commands are in {@link Commands}. */
@Command(
    name = "kitproof",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description =
        "Tests valve amplifiers one by one: runs a plan on a bench and judges each result.",
    footerHeading = "%nExit codes:%n",
    footer = {
      "  0  pass, or done",
      "  1  a unit failed",
      "  2  bad input: nothing was touched",
      "  3  aborted for safety or by the operator",
      "  4  instrument or system error",
      "",
      "Caution: a valve amplifier holds several hundred volts, also after switch-off.",
      "This program is not a safety device. Follow your local codes; work inside the",
      "amplifier is for the qualified.",
      "",
      "Examples:",
      "  kitproof demo --fast",
      "  kitproof check plan.yaml bench.yaml",
      "  kitproof run plan.yaml --bench bench.yaml --unit LN12-001"
    })
final class Kitproof implements Runnable {
  @Spec private CommandSpec spec;

  @Override
  public void run() {
    throw new ParameterException(spec.commandLine(), "Say what to do: one of the commands below.");
  }
}
