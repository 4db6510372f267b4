package kitproof.driver.simulated;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Map;
import java.util.stream.IntStream;
import kitproof.driver.Handling;
import kitproof.driver.Settings;
import kitproof.driver.kit.Nodes;
import org.junit.jupiter.api.Test;

/** How a unit is connected differs as told, and only by what is told. */
class ContactsTest {
  private static final Contacts CONTACTS = new Contacts(0.5, 0.02, 0.01, 0.005);

  @Test
  void untoldHandlingHasNoContactsOfItsOwn() {
    assertThat(CONTACTS.of("LN12-001", Handling.UNTOLD, "left")).isZero();
    assertThat(new Contacts(0.3, 0, 0, 0).of("LN12-001", new Handling("Ann", "", ""), "left"))
        .isEqualTo(0.3);
  }

  @Test
  void theSameHandlingIsTheSame() {
    Handling how = new Handling("Ann", "2", "trial 7");
    double once = CONTACTS.of("LN12-001", how, "left");
    assertThat(CONTACTS.of("LN12-001", how, "left")).isEqualTo(once).isNotEqualTo(0.5);
    assertThat(CONTACTS.of("LN12-001", how, "right")).isNotEqualTo(once);
    assertThat(CONTACTS.of("LN12-002", how, "left")).isNotEqualTo(once);
  }

  /** Each part has the spread it says, over names that hardly differ. */
  @Test
  void eachPartSpreadsAsStated() {
    assertThat(spread(i -> new Handling("person " + i, "", ""))).isCloseTo(0.02, within(0.001));
    assertThat(spread(i -> new Handling("", "reload " + i, ""))).isCloseTo(0.01, within(0.0005));
    assertThat(spread(i -> new Handling("", "", "trial " + i))).isCloseTo(0.005, within(0.00025));
  }

  private interface How {
    Handling of(int number);
  }

  private static double spread(How how) {
    double[] drawn =
        IntStream.range(0, 4000)
            .mapToDouble(i -> CONTACTS.of("LN12-001", how.of(i), "left"))
            .toArray();
    double mean = Arrays.stream(drawn).average().orElseThrow();
    return Math.sqrt(
        Arrays.stream(drawn).map(x -> (x - mean) * (x - mean)).average().orElseThrow());
  }

  @Test
  void oddContactsAreRefused() {
    Settings settings =
        Nodes.settings(Map.of("contacts", Map.of("resistance", "2 ohm", "by-appraiser", "-1 ohm")));
    assertThat(Contacts.read(settings).resistance()).isZero();
    assertThat(settings.problems()).hasSize(2).allMatch(p -> p.toString().contains("0 ohm to 1"));
  }
}
