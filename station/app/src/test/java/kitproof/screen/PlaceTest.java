package kitproof.screen;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class PlaceTest {
  @ParameterizedTest
  @CsvSource({
    "127.0.0.1, false, true",
    "0:0:0:0:0:0:0:1, false, true",
    "::1, false, true",
    "192.0.2.7, false, true",
    "2001:db8::7, false, true",
    "192.0.2.8, false, false",
    "127.0.0.1, true, false",
    "192.0.2.7, true, false",
  })
  void theBenchIsThisMachineAndTheDevicesThatWereNamed(
      String address, boolean forwarded, boolean here) {
    Place place = new Place(Set.of("192.0.2.7", "2001:db8:0:0:0:0:0:7"));
    assertThat(place.isHere(address, forwarded)).isEqualTo(here);
  }

  @Test
  void unlessSomethingIsNamedOnlyThisMachineDrives() {
    assertThat(new Place(Set.of()).isHere("192.0.2.7", false)).isFalse();
  }

  @ParameterizedTest
  @ValueSource(strings = {"tablet", "tablet.example", "*", ""})
  void aNameIsNoAddress(String device) {
    assertThatThrownBy(() -> new Place(Set.of(device)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("numeric address");
  }
}
