package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import kitproof.plugin.DriverLoader;
import kitproof.screen.Station;
import org.junit.jupiter.api.Test;

/** What an order at the operator's screen comes to. */
class ServedStationTest {
  @Test
  void aCheckOfTheStationIsNoUnitOfTheBatchThatIsTested() {
    Prepared prepared =
        Prepared.read(
                Cli.example("selfcheck.yaml"),
                Cli.example("bench-uneven.yaml"),
                DriverLoader.load(Path.of("no-such-folder")),
                true)
            .value();
    assertThat(ServedStation.batch(prepared, order("CS-01"))).isEmpty();
    assertThat(ServedStation.batch(prepared, order("LN12-001"))).isEqualTo("pilot");
  }

  private static Station.Order order(String unit) {
    return new Station.Order("selfcheck.yaml", unit, "pilot", false);
  }
}
