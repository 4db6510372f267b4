package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * The calibration that is shipped beside the bench with errors: whole, one run's, and true within
 * what it states. That {@code kitproof calibrate} finds the same is {@link CalibrateIT}'s.
 */
class ShippedCalibrationTest {
  @Test
  void eachValueIsWhatTheBenchFileBuildsIn() throws IOException {
    Path file = Cli.example("bench-uneven.calibration.yaml");
    Map<String, Integer> held = BuiltInErrors.hold(Cli.example("bench-uneven.yaml"), file);
    assertThat(held)
        .containsAllEntriesOf(BuiltInErrors.OF_THE_UNEVEN_BENCH)
        .containsEntry("thd of residuals", 36)
        .containsEntry("noise of residuals", 36)
        .containsEntry("thd+n of residuals", 36)
        .containsEntry("levels of paths", 372)
        .containsEntry("phases of paths", 372);
    assertThat(file)
        .content(StandardCharsets.UTF_8)
        .contains("# Written by \"kitproof calibrate\"", "by: \"A. Person\"")
        .containsOnlyOnce("record: ");
  }
}
