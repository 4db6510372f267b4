package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import kitproof.document.YamlReader;
import kitproof.limit.LimitFile;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Limits that were proposed from a batch judge no unit until a person stands for them. */
class SignedOffTest {
  private static final Plan PLAN =
      PlanReader.read(
              YamlReader.read(
                      "p.yaml",
                      """
                      plan: short
                      product: Linnet 12
                      revision: B
                      limits: l.yaml
                      steps:
                        - {step: rail, procedure: reading, meter: hv-meter, function: hv, result: rail}
                      """)
                  .value(),
              Path.of("p.yaml"))
          .value();

  private static List<String> problems(String line) {
    LimitFile limits =
        LimitFile.read(
                "l.yaml",
                "limits: l\nproduct: Linnet 12\nrevision: B\nrule: simple acceptance\n"
                    + line
                    + "judge:\n  - {result: rail, low: 20 V}\n")
            .value();
    return Preflight.limits(limits, PLAN).stream().map(Problem::toString).toList();
  }

  @ParameterizedTest
  @ValueSource(strings = {"nobody", "Nobody", "\" nobody \"", "\"\"", "\"  \""})
  void limitsOfNobodyAreRefused(String nobody) {
    assertThat(problems("signed-off-by: " + nobody + "\n"))
        .singleElement()
        .asString()
        .startsWith("l.yaml:5:")
        .contains(
            "found proposed limits that nobody has signed off",
            "expected under signed-off-by the name of a person");
  }

  @Test
  void aNameIsEnoughAndOtherLimitsNeedNone() {
    assertThat(problems("signed-off-by: A. Builder, 2026-11-26\n")).isEmpty();
    assertThat(problems("")).isEmpty();
  }
}
