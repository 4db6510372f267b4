package kitproof.screen;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class ControlTest {
  private long ticks;
  private final Control control = new Control(() -> ticks);

  private void pass(long seconds) {
    ticks += seconds * 1_000_000_000L;
  }

  @Test
  void inTheMiddleOfARunTheControlsStayWhereTheyAre() {
    assertThat(control.take("one", false)).isTrue();
    assertThat(control.take("two", true)).isFalse();
    assertThat(control.isHeldBy("one")).isTrue();
    assertThat(control.isHeldBy("two")).isFalse();
    assertThat(control.take("one", true)).as("it has them already").isTrue();
  }

  @Test
  void betweenRunsAnybodyAtTheBenchMayTakeThem() {
    assertThat(control.take("one", false)).isTrue();
    assertThat(control.take("two", false)).isTrue();
    assertThat(control.isHeldBy("one")).isFalse();
  }

  @Test
  void aPageThatIsGoneDoesNotKeepThem() {
    control.take("one", false);
    pass(14);
    control.hear("one");
    pass(14);
    assertThat(control.take("two", true)).as("heard in between").isFalse();
    pass(2);
    assertThat(control.isHeld()).isFalse();
    assertThat(control.take("two", true)).isTrue();
  }

  @Test
  void theyCanBeGivenBackButOnlyByWhoHasThem() {
    control.take("one", false);
    control.release("two");
    assertThat(control.isHeldBy("one")).isTrue();
    control.release("one");
    assertThat(control.isHeld()).isFalse();
    assertThat(control.isFreeFor("two", true)).isTrue();
  }
}
