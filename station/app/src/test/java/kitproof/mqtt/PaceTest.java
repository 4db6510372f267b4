package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class PaceTest {
  private long nanos;

  @Test
  void whatIsSetIsTold() {
    assertThat(new Pace(12, () -> nanos).after(100)).isEqualTo(12);
  }

  @Test
  void whatNobodySetsIsMeasuredFromTheRunsBeginningOn() {
    Pace pace = new Pace(Outlook.MEASURED, () -> nanos);
    pace.begun();
    assertThat(pace.after(0)).as("nothing is known yet").isZero();
    nanos += 2_000_000_000L;
    assertThat(pace.after(400)).isEqualTo(200);
    nanos += 3_000_000_000L;
    assertThat(pace.after(500)).isEqualTo(100);
    pace.begun();
    assertThat(pace.after(0)).as("that of the run before").isEqualTo(100);
    nanos += 1_000_000;
    assertThat(pace.after(10)).as("too soon to tell").isEqualTo(100);
  }
}
