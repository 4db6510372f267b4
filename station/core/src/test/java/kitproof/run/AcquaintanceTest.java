package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import kitproof.driver.InstrumentException;
import org.junit.jupiter.api.Test;

class AcquaintanceTest {
  private static final long SECOND = 1_000_000_000;
  private final Acquaintance meter = new Acquaintance(0);
  private int asked;

  private void ask() {
    asked++;
  }

  @Test
  void isAskedBeforeAUseOnlyIfTheLastTimeIsSomeTimeAgo() throws Exception {
    meter.ifOlder(Acquaintance.NO_EXCHANGE, SECOND - 1, this::ask);
    assertThat(asked).isZero();
    meter.ifOlder(Acquaintance.NO_EXCHANGE, SECOND, this::ask);
    meter.ifOlder(Acquaintance.NO_EXCHANGE, 2 * SECOND - 1, this::ask);
    assertThat(asked).isEqualTo(1);
  }

  @Test
  void isAskedAfterReadingsOnceForAllOfThem() throws Exception {
    meter.ifRead(0, this::ask);
    assertThat(asked).isZero();
    meter.read();
    meter.read();
    meter.ifRead(0, this::ask);
    meter.ifRead(0, this::ask);
    assertThat(asked).isEqualTo(1);
  }

  @Test
  void aReadingWhileItIsAskedMayComeAfterItsAnswerAndIsAskedForAgain() throws Exception {
    meter.read();
    meter.ifRead(
        0,
        () -> {
          ask();
          meter.read();
        });
    meter.ifRead(0, this::ask);
    assertThat(asked).isEqualTo(2);
  }

  @Test
  void isAskedAgainAfterItWasNotRecognised() throws Exception {
    meter.read();
    InstrumentException another =
        new InstrumentException(InstrumentException.Kind.PROTOCOL, "another instrument answers");
    assertThatThrownBy(
            () ->
                meter.ifRead(
                    0,
                    () -> {
                      throw another;
                    }))
        .isSameAs(another);
    meter.ifRead(0, this::ask);
    assertThat(asked).isEqualTo(1);
  }
}
