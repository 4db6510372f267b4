package kitproof.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SafeNameTest {
  @ParameterizedTest
  @CsvSource({
    "20261125T101500.123Z-LN12-001, 20261125T101500.123Z-LN12-001",
    "../../etc/passwd, %2E.%2F..%2Fetc%2Fpasswd",
    "'a b', a%20b",
    "50%, 50%25",
    "Ω, %CE%A9",
    "c:\\x, c%3A%5Cx",
    "'', %",
  })
  void whatIsNotPlainIsEncoded(String words, String name) {
    assertThat(SafeName.ofFile(words)).isEqualTo(name);
  }

  @ParameterizedTest
  @ValueSource(strings = {".", "..", "...", "/", "/abs", ".hidden", "\0", "\n", "a/../b", "CON:"})
  void noNameLeavesItsFolderOrHides(String words) {
    assertThat(SafeName.ofFile(words)).matches("[A-Za-z0-9_%-][A-Za-z0-9._%-]*");
  }

  @Test
  void namesStayShortAndApart() {
    Set<String> names = new HashSet<>();
    String longest = "Ω".repeat(4000);
    for (String words : List.of(longest, longest + "a", longest + "b", "Ω".repeat(26), "%", "")) {
      String name = SafeName.ofFile(words);
      assertThat(name.length()).isLessThanOrEqualTo(SafeName.LONGEST);
      names.add(name);
    }
    assertThat(names).hasSize(6);
  }
}
