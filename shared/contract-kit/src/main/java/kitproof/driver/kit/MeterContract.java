package kitproof.driver.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import org.junit.jupiter.api.Test;

/** What holds for every meter. */
public abstract class MeterContract extends InstrumentContract<Meter> {
  @Override
  void use(Meter meter) throws InstrumentException {
    meter.read(meter.functions().get(0).name());
  }

  @Test
  void declaresFunctionsWithNamesOfTheirOwn() throws Exception {
    try (Meter meter = open()) {
      List<String> names = meter.functions().stream().map(MeterFunction::name).toList();
      assertThat(names)
          .isNotEmpty()
          .doesNotHaveDuplicates()
          .allSatisfy(n -> assertThat(n).isNotBlank());
    }
  }

  @Test
  void readsEveryDeclaredFunctionInItsUnit() throws Exception {
    try (Meter meter = open()) {
      for (MeterFunction function : meter.functions()) {
        Reading reading = meter.read(function.name());
        assertThat(reading).as(function.name()).isNotNull();
        if (reading instanceof Reading.Value value) {
          assertThat(value.quantity().unit()).as(function.name()).isEqualTo(function.unit());
        }
      }
    }
  }

  @Test
  void anUnknownFunctionIsOutOfRangeAndDoesNoHarm() throws Exception {
    try (Meter meter = open()) {
      assertFails(InstrumentException.Kind.RANGE, () -> meter.read("no such function"));
      use(meter);
    }
  }
}
