package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import kitproof.journal.History;
import kitproof.plan.Bench;
import kitproof.screen.Station.Order;
import kitproof.screen.Station.Started;

/** What may be in the way of an order from a screen, though its files are good. */
final class OrderRules {
  private OrderRules() {}

  /**
   * What is; empty if nothing is.
   *
   * @param served the bench as the program was started with it
   * @param records the folder of the station's records
   */
  static Optional<Started> wrong(Prepared prepared, Order order, Bench served, Path records)
      throws IOException {
    Bench now = prepared.bench();
    if (!now.shop().equals(served.shop())
        || !now.station().equals(served.station())
        || now.time() != served.time()) {
      return Optional.of(
          Started.refused(
              "the bench file names another station than when this program was started; start it"
                  + " again"));
    }
    Optional<String> refusal =
        Serial.unprintable(order.unit())
            .map(why -> "the serial number: " + why)
            .or(() -> Serial.unprintable(order.batch()).map(why -> "the batch: " + why));
    if (refusal.isEmpty()) {
      refusal = Serial.wrong(prepared.plan(), order.unit(), History.units(records));
    }
    if (refusal.isPresent()) {
      return refusal.map(Started::refused);
    }
    return order.again() || StationGate.isOfTheStation(prepared, order.unit())
        ? Optional.empty()
        : History.passed(History.of(records, prepared.plan().product(), order.unit()))
            .map(passed -> Started.passedBefore(passed.run()));
  }
}
