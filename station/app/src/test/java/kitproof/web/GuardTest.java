package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import io.javalin.http.ContentTooLargeResponse;
import io.javalin.http.RequestTimeoutResponse;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class GuardTest {
  private static InputStream body(String text) {
    return new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8));
  }

  @ParameterizedTest
  @CsvSource({
    "token=sixteen+letters%21, sixteen letters!",
    "a=b&token=x%26y&c=, x&y",
    "token=, ''",
    "nothing=at all, ",
    "'', ",
    "token=%zz, ",
  })
  void theTokenIsReadFromTheForm(String form, String token) throws IOException {
    assertThat(Guard.token(body(form))).isEqualTo(token);
  }

  @Test
  void aFormWithoutEndIsCutShort() {
    assertThatThrownBy(() -> Guard.token(body("token=" + "x".repeat(5000))))
        .isInstanceOf(ContentTooLargeResponse.class);
  }

  @Test
  void aFormThatComesDropByDropIsNotWaitedFor() {
    InputStream dripping =
        new InputStream() {
          @Override
          public int read() {
            return 'x';
          }

          @Override
          public int read(byte[] bytes, int from, int length) {
            bytes[from] = 'x';
            return 1;
          }
        };
    assertThatThrownBy(() -> Guard.token(dripping)).isInstanceOf(RequestTimeoutResponse.class);
  }
}
