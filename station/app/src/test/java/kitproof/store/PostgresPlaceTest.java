package kitproof.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class PostgresPlaceTest {
  private static final IndexLogin NOBODY = new IndexLogin(null, null);

  @ParameterizedTest
  @CsvSource({
    "postgresql://index.local:5433/shop, index.local, 5433, shop",
    "POSTGRES://index.local/shop, index.local, 5432, shop",
    "postgresql://[::1]/a%20b, [::1], 5432, a b",
  })
  void addressesAreRead(String text, String host, int port, String database) {
    assertThat(PostgresPlace.parse(text, NOBODY))
        .isEqualTo(new PostgresPlace(host, port, database, "prefer", null, NOBODY));
  }

  @Test
  void encryptionIsAskedForAfterTheDatabase() {
    PostgresPlace place =
        PostgresPlace.parse("postgresql://i/shop?sslmode=verify-full&sslrootcert=/ca.pem", NOBODY);
    assertThat(place.encryption()).isEqualTo("verify-full");
    assertThat(place.authority()).isEqualTo(Path.of("/ca.pem"));
    assertThatThrownBy(() -> PostgresPlace.parse("postgresql://i/shop?sslmode=maybe", NOBODY))
        .hasMessageContaining("sslmode (disable, prefer, require, verify-ca, verify-full)");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "index.local/shop",
        "mysql://index/shop",
        "postgresql://index",
        "postgresql://index/",
        "postgresql://index/shop/more",
        "postgresql://index/shop#part",
        "postgresql://index:0/shop",
        "postgresql://index:70000/shop",
        "postgresql:///shop",
        "postgresql://in dex/shop"
      })
  void whatIsNoAddressIsRefusedWithAnExample(String text) {
    assertThatThrownBy(() -> PostgresPlace.parse(text, NOBODY))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("postgresql://index.shop.example:5432/kitproof");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"postgresql://me:s3cret@i/shop", "postgresql://s3cret@i/s", "p://a:s3 c@i"})
  void aPasswordInAnAddressIsRefusedAndNotRepeated(String text) {
    assertThatThrownBy(() -> PostgresPlace.parse(text, NOBODY))
        .isInstanceOf(IllegalArgumentException.class)
        .satisfies(e -> assertThat(e.toString()).doesNotContain("s3"));
  }
}
