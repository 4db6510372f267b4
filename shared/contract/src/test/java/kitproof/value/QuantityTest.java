package kitproof.value;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Prefixes and symbols as in the SI Brochure (BIPM, 9th edition, 2019), tables 4, 6 and 7. */
class QuantityTest {
  @ParameterizedTest
  @CsvSource({
    "435 V, 435, VOLT",
    "20kHz, 20000, HERTZ",
    "-60 dB, -60, DECIBEL",
    "0.05, 0.05, ONE",
    "470 uF, 0.00047, FARAD",
    "470 µF, 0.00047, FARAD",
    "470 μF, 0.00047, FARAD",
    "100 pF, 1e-10, FARAD",
    "1.2 Mohm, 1200000, OHM",
    "8 Ω, 8, OHM",
    "'8 \u2126', 8, OHM",
    "4k7 ohm, , ",
    "10 mH, 0.01, HENRY",
    "1 GHz, 1e9, HERTZ",
    "5 ns, 5e-9, SECOND",
    "+.5 V, 0.5, VOLT",
    "12. W, 12, WATT",
    "1e3 V, 1000, VOLT",
    "1E-3 A, 0.001, AMPERE",
    "3 %, 3, PERCENT",
    "-3 dBV, -3, DECIBEL_VOLT",
    "25 °C, 25, CELSIUS",
    "90 deg, 90, DEGREE",
    "2 kV/s, 2000, VOLT_PER_SECOND",
    "' 7 V ', 7, VOLT",
  })
  void readsWhatPeopleWrite(String text, Double value, Unit unit) {
    if (value == null) {
      assertThatThrownBy(() -> Quantity.parse(text)).isInstanceOf(IllegalArgumentException.class);
    } else {
      assertThat(Quantity.parse(text)).isEqualTo(Quantity.of(value, unit));
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "V",
        "435 v",
        "1,5 V",
        "1e V",
        "NaN V",
        "Infinity V",
        "5 kdB",
        "5 m%",
        "5 KV",
        "5 V V",
        "1e400 V",
        "1e2147483647 kV",
        "1e99999999999 V",
        "0x10 V",
        "--5 V",
        "5 mm",
        "12 34 V"
      })
  void refusesTheRestWithAMessageForPeople(String text) {
    assertThatThrownBy(() -> Quantity.parse(text))
        .isInstanceOf(IllegalArgumentException.class)
        .message()
        .startsWith("a ");
  }

  @Test
  void aQuantityOfAnotherUnitIsRefusedWithWhatWasWanted() {
    assertThatThrownBy(() -> Quantity.parse("5 A", Unit.VOLT))
        .hasMessage("a quantity in V, such as \"10 V\"");
    assertThatThrownBy(() -> Quantity.parse("5 V", Unit.ONE)).hasMessage("a number without unit");
  }

  @ParameterizedTest
  @EnumSource(Unit.class)
  void theTextFormParsesBackToAnEqualQuantityInEveryUnit(Unit unit) {
    long seed = 20261125;
    Random random = new Random(seed);
    for (int i = 0; i < 2_000; i++) {
      double value = Double.longBitsToDouble(random.nextLong());
      if (Double.isFinite(value)) {
        Quantity quantity = Quantity.of(value, unit);
        assertThat(Quantity.parse(quantity.toString())).as("seed %d", seed).isEqualTo(quantity);
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Unit.class)
  void everySpellingIsReadAndTheSymbolIsPrinted(Unit unit) {
    for (String spelling : unit.spellings()) {
      assertThat(Quantity.parse("5 " + spelling)).isEqualTo(Quantity.of(5, unit));
    }
    assertThat(Quantity.of(5, unit).toString()).isEqualTo(("5 " + unit.symbol()).strip());
  }

  @ParameterizedTest
  @CsvSource({
    "331.2345 V, 331.2 V",
    "0.00234567 V, 2.346 mV",
    "999.96 V, 1 kV",
    "0 V, 0 V",
    "-60.1234 dB, -60.12 dB",
    "0.00012 dB, 0 dB",
    "0.0123456, 0.01235",
    "1.23456 %, 1.235 %",
    "1e15 Hz, 1000000 GHz",
    "4.7e-13 F, 0.47 pF",
    "12345 ohm, 12.34 kohm",
  })
  void displayIsShort(String exact, String display) {
    assertThat(Quantity.parse(exact).display()).isEqualTo(display);
  }

  @Test
  void textIsTheSameInEveryLocale() {
    Locale before = Locale.getDefault();
    try {
      for (String tag : new String[] {"de-DE", "ar-EG", "hi-IN-u-nu-deva", "tr-TR"}) {
        Locale.setDefault(Locale.forLanguageTag(tag));
        assertThat(Quantity.of(1234.5, Unit.VOLT)).hasToString("1234.5 V");
        assertThat(Quantity.of(1234.5, Unit.VOLT).display()).isEqualTo("1.234 kV");
        assertThat(Quantity.parse("1.5 MHz").value()).isEqualTo(1.5e6);
      }
    } finally {
      Locale.setDefault(before);
    }
  }

  @Test
  void minusZeroIsZeroAndNothingIsNotANumber() {
    assertThat(Quantity.of(-0.0, Unit.VOLT)).isEqualTo(Quantity.of(0.0, Unit.VOLT));
    assertThatThrownBy(() -> Quantity.of(Double.NaN, Unit.VOLT))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> Quantity.of(1, Unit.VOLT).in(Unit.AMPERE))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void aRangeIsReadWithBothEndsIncluded() {
    QuantityRange range = QuantityRange.parse("20 Hz..20 kHz", Unit.HERTZ);
    assertThat(range.contains(Quantity.of(20, Unit.HERTZ))).isTrue();
    assertThat(range.contains(Quantity.of(20_000, Unit.HERTZ))).isTrue();
    assertThat(range.contains(Quantity.of(19.99, Unit.HERTZ))).isFalse();
    assertThat(QuantityRange.parse(range.toString(), Unit.HERTZ)).isEqualTo(range);
    for (String wrong : new String[] {"20 Hz", "20 kHz..20 Hz", "1 V..2 V", "..", "a..b"}) {
      assertThatThrownBy(() -> QuantityRange.parse(wrong, Unit.HERTZ))
          .hasMessageContaining("a range in Hz");
    }
  }
}
