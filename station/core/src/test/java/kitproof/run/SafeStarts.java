package kitproof.run;

import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import kitproof.document.YamlReader;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.FakeDriver;
import kitproof.event.Event;
import kitproof.plan.BenchReader;

/** Commands the safe state of a bench of fakes. */
final class SafeStarts {
  private SafeStarts() {}

  /**
   * Commands it and returns what came of it.
   *
   * @param bench the bench file; its driver is named fake
   * @param instruments what the driver opens
   * @param safe how long an instrument may take to make safe, real time
   */
  static Event.SafeState command(String bench, FakeDriver.Opening instruments, Duration safe)
      throws InterruptedException {
    return SafeStart.command(
        YamlReader.read("bench.yaml", bench).flatMap(BenchReader::read).value(),
        Map.of("fake", new FakeDriver("fake", instruments)),
        new SimulatedClock(Instant.EPOCH),
        System::nanoTime,
        new Deadlines(Duration.ofSeconds(30), Duration.ofSeconds(30), safe, Duration.ofMinutes(1)));
  }
}
