package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class AccessTest {
  private static final String TOKEN = "sixteen letters!";

  @ParameterizedTest
  @ValueSource(strings = {"0.0.0.0", "192.0.2.7", "::"})
  void beyondThisMachineATokenIsAsked(String host) {
    assertThatThrownBy(() -> new Access(host, 80, null))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("token");
    assertThatThrownBy(() -> new Access(host, 80, "short"))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("16");
    assertThat(new Access(host, 80, TOKEN).token()).isEqualTo(TOKEN);
  }

  @ParameterizedTest
  @CsvSource({
    "127.0.0.1:8417, true",
    "localhost, true",
    "LOCALHOST:1, true",
    "[::1]:8417, true",
    "shop.example:8417, false",
    "127.0.0.1.shop.example, false",
    ", false",
  })
  void aNameThatWasMadeToLeadHereIsNotOurs(String host, boolean ours) {
    assertThat(new Access("127.0.0.1", 0, null).meantForUs(host)).isEqualTo(ours);
  }

  @Test
  void onlyTheTokenAndItsCookieLetIn() {
    Access access = new Access("127.0.0.1", 0, TOKEN);
    assertThat(access.knows(TOKEN)).isTrue();
    assertThat(access.knows(TOKEN + " ")).isFalse();
    assertThat(access.knows(null)).isFalse();
    assertThat(access.admits(access.cookie())).isTrue();
    assertThat(access.admits(TOKEN)).isFalse();
    assertThat(access.admits(null)).isFalse();
    assertThat(access.cookie()).doesNotContain(TOKEN);
    assertThat(access.toString()).doesNotContain(TOKEN);
    assertThat(new Access("127.0.0.1", 0, null).knows("")).as("no token is no password").isFalse();
  }

  @ParameterizedTest
  @CsvSource({"127.0.0.1, 127.0.0.1", "localhost, localhost", "::1, [::1]", "[::1], [::1]"})
  void anAddressToOpenHasItsBrackets(String host, String shown) {
    assertThat(new Access(host, 80, null).shown()).isEqualTo(shown);
    assertThat(new Access(host, 80, null).toString()).isEqualTo(shown + ":80");
  }

  @ParameterizedTest
  @ValueSource(strings = {"0.0.0.0", "::"})
  void whoListensEverywhereIsOpenedByTheMachinesName(String host) {
    assertThat(new Access(host, 80, TOKEN).shown()).isNotEmpty().isNotIn("0.0.0.0", "::", "[::]");
  }

  @ParameterizedTest
  @CsvSource({
    "http://board.example:8417, board.example:8417, true",
    "https://board.example, board.example, true",
    "http://evil.example, board.example, false",
    "null, board.example, false",
    ", board.example, false",
    "http://board.example, , false",
  })
  void aFormIsTakenFromOurOwnPageOnly(String origin, String host, boolean ours) {
    assertThat(Guard.fromHere(origin, host)).isEqualTo(ours);
  }
}
