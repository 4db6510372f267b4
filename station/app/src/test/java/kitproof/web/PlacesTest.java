package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class PlacesTest {
  private final Places places = new Places(6, 2);

  @Test
  void oneDeviceLeavesRoomForTheOthers() {
    assertThat(places.take("192.0.2.7")).isTrue();
    assertThat(places.take("192.0.2.7")).isTrue();
    assertThat(places.take("192.0.2.7")).isFalse();
    assertThat(places.take("192.0.2.8")).isTrue();
    places.leave("192.0.2.7");
    assertThat(places.take("192.0.2.7")).isTrue();
    assertThat(places.take("192.0.2.7")).isFalse();
  }

  @Test
  void thisMachineIsBoundOnlyByAllPlaces() {
    for (int i = 0; i < 6; i++) {
      assertThat(places.take(i % 2 == 0 ? "127.0.0.1" : "0:0:0:0:0:0:0:1")).isTrue();
    }
    assertThat(places.take("127.0.0.1")).isFalse();
    assertThat(places.take("192.0.2.7")).isFalse();
    places.leave("127.0.0.1");
    assertThat(places.take("192.0.2.7")).isTrue();
  }

  @Test
  void anEventSaysInOneLineWhyThereCanBeNoNews() {
    assertThat(Changes.event(12, null)).isEqualTo("data: 12\n\n");
    assertThat(Changes.event(12, new Versioned.Trouble(5, "gone\n\ndata: 13")))
        .isEqualTo("data: 12 5 gone  data: 13\n\n");
  }
}
