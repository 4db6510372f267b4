package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SerialHintTest {
  private static final Pattern LINNET = Pattern.compile("LN12-[0-9]{3}");

  @ParameterizedTest
  @CsvSource({
    "ln12-001,LN12-001",
    "LN12-1,LN12-001",
    "LN12-0007,LN12-007",
    "ln12 042,LN12-042",
    "LN12_O12,LN12-012",
    "LN12007,LN12-007",
    "' LN12-003',LN12-003"
  })
  void whatHandsAndScannersMistake(String typed, String meant) {
    assertThat(SerialHint.nearest(LINNET, typed, List.of())).contains(meant);
  }

  @Test
  void elseTheNearestThatHasBeenHere() {
    assertThat(SerialHint.nearest(LINNET, "NL12-0x3", List.of("LN12-043", "LN12-001")))
        .contains("LN12-043");
    assertThat(SerialHint.nearest(LINNET, "something else", List.of())).isEmpty();
  }
}
