package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import kitproof.limit.LimitFile;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

/** A limit that judges nothing is told before a run. */
class LimitsThatJudgeTest {
  /** Of a plan that measures gain on both channels, one after the other, on two taps. */
  private static List<String> problems(String... rows) {
    LimitFile limits =
        LimitFile.read(
                "limits.yaml",
                SmallFiles.LIMITS.replace(
                    "  - {result: gain, low: 25.9 dB, high: 26.1 dB}\n",
                    String.join("\n", rows) + "\n"))
            .value();
    return Preflight.limits(limits, new FakeStation().plan()).stream()
        .map(Problem::toString)
        .toList();
  }

  @Test
  void aGeneralOneBesideASpecificOne() {
    assertThat(
            problems(
                "  - {result: gain, low: 25 dB}",
                "  - {result: gain, when: {tap: 4 ohm}, low: 24 dB}",
                "  - {result: gain, when: {tap: 8 ohm, channel: left}, low: 24 dB}"))
        .isEmpty();
  }

  @Test
  void aGeneralOneWhereSpecificOnesJudgeEverything() {
    assertThat(
            problems(
                "  - {result: gain, low: 25 dB}",
                "  - {result: gain, when: {channel: right}, low: 24 dB}",
                "  - {result: gain, when: {channel: left}, low: 24 dB}"))
        .singleElement()
        .asString()
        .startsWith("limits.yaml:9:")
        .contains("found a limit for gain that judges nothing");
  }
}
