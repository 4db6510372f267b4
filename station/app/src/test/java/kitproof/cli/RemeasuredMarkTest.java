package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** What a record says of the bench goes over to what is measured again from its captures. */
class RemeasuredMarkTest {
  private static String again(String now, String recorded) {
    Measurement gain = Measurement.of("gain", Conditions.NONE, Quantity.of(26, Unit.DECIBEL));
    return Remeasured.marked(gain.noted(now), gain.noted(recorded)).note();
  }

  @Test
  void theMarkOfTheBenchIsCarriedOverAndNothingElse() {
    assertThat(again("", "uncalibrated")).isEqualTo("uncalibrated");
    assertThat(again("clipped", "uncalibrated; of the old reckoning"))
        .isEqualTo("uncalibrated; clipped");
    String both = "uncalibrated; station lock overridden by A. Person";
    assertThat(again("", both)).isEqualTo(both);
    assertThat(again("uncalibrated", "uncalibrated")).isEqualTo("uncalibrated");
    assertThat(again("now", "then")).isEqualTo("now");
    assertThat(again("", "")).isEmpty();
  }
}
