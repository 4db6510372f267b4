package kitproof.driver.serialmeter;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;

class ScpiNumberTest {
  @ParameterizedTest
  @CsvFileSource(resources = "scpi_numbers.csv", delimiter = '|', quoteCharacter = '\'')
  void answersAreValuesOverloadsNotNumbersOrNonsense(String answer, String kind, double value) {
    ScpiNumber number = ScpiNumber.parse(answer);
    if (kind.equals("NONE")) {
      assertThat(number).isNull();
    } else {
      assertThat(number).isEqualTo(new ScpiNumber(ScpiNumber.Kind.valueOf(kind), value));
    }
  }
}
