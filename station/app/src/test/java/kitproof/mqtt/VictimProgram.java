package kitproof.mqtt;

import java.nio.file.Path;
import java.time.Instant;
import java.util.Random;
import kitproof.driver.kit.RealClock;
import kitproof.event.Entry;
import kitproof.journal.Journal;
import kitproof.journal.RandomEvents;
import kitproof.journal.RecordStore;

/** Runs and publishes until it is killed; prints the id of each entry once append has returned. */
final class VictimProgram {
  private VictimProgram() {}

  public static void main(String[] args) throws Exception {
    RecordStore store = new RecordStore(Path.of(args[0]));
    BrokerAddress broker = BrokerAddress.parse(args[1]);
    long seed = Long.parseLong(args[2]);
    Publisher.start(
        store,
        "broker",
        new Station("attic", "bench-1"),
        broker,
        Credentials.NONE,
        new RealClock());
    Random random = new Random(seed);
    for (int n = 0; ; n++) {
      String run = "2026010" + seed + "T" + n + "-victim";
      try (Journal journal = store.begin(run, () -> Instant.EPOCH)) {
        for (Entry entry : new RandomEvents(random.nextLong()).run(run, random.nextInt(80))) {
          System.out.println(journal.append(entry.event()).id());
        }
      }
    }
  }
}
