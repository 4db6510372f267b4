package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.batch.Batch;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.RunRecord;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

class BatchCalibrationTest {
  private static RunRecord run(Event.@Nullable CalibrationTold told) {
    List<Entry> entries = new ArrayList<>();
    for (Entry entry : Fixture.entries()) {
      entries.add(new Entry(entry.run(), entries.size(), entry.time(), entry.event()));
      if (told != null && entries.size() == 1) {
        entries.add(new Entry(entry.run(), 1, Instant.EPOCH, told));
      }
    }
    return RunRecord.of(entries);
  }

  private static final RunRecord CALIBRATED =
      run(new Event.CalibrationTold(true, "calibrated on 2026-11-26, run R-7", List.of()));
  private static final RunRecord NOT =
      run(new Event.CalibrationTold(false, "UNCALIBRATED: as was asked for", List.of()));
  private static final RunRecord UNTOLD = run(null);

  @Test
  void aBatchSaysWhatItsRunsSay() {
    assertThat(BatchPages.calibration(List.of(CALIBRATED, CALIBRATED)))
        .isEqualTo("calibrated on 2026-11-26");
    assertThat(BatchPages.calibration(List.of(CALIBRATED, UNTOLD)))
        .isEqualTo("calibrated on 2026-11-26; none told in 1 of 2 runs");
    assertThat(BatchPages.calibration(List.of(NOT, CALIBRATED)))
        .isEqualTo("1 of 2 runs UNCALIBRATED");
    assertThat(BatchPages.calibration(List.of(NOT))).isEqualTo("UNCALIBRATED");
    assertThat(BatchPages.calibration(List.of(UNTOLD))).isEqualTo("none told");
  }

  @Test
  void pairsAndProposedLimitsOfUncalibratedRunsSaySo() {
    assertThat(BatchPages.uncalibrated(Batch.of("pilot", List.of(NOT))))
        .hasValue("calibration: UNCALIBRATED");
    assertThat(BatchPages.uncalibrated(Batch.of("pilot", List.of(CALIBRATED)))).isEmpty();
  }
}
