package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;

class IndividualsTest {
  /** NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2: data and answers of its example. */
  @Test
  void theHandbooksExample() {
    Individuals limits =
        Individuals.of(List.of(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1));
    assertThat(limits.mean()).isCloseTo(50.81, within(1e-9));
    assertThat(limits.high()).isCloseTo(55.8041, within(5e-5)); // as printed
    assertThat(limits.low()).isCloseTo(45.8159, within(5e-5));
  }

  @Test
  void equalValuesLeaveNoRoom() {
    assertThat(Individuals.of(List.of(2.0, 2.0, 2.0))).isEqualTo(new Individuals(2, 2, 2));
  }
}
