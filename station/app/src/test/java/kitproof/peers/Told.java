package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Mosquitto;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;

/** A run with a broker and a client of its own: what is in its record must be told there too. */
final class Told implements AutoCloseable {
  private static final Duration LONG = Duration.ofSeconds(60);

  final Scene scene;
  private final Mosquitto broker;
  private final Subscriber subscriber;

  Told(Path folder) throws Exception {
    broker = Mosquitto.open(Files.createDirectories(folder.resolve("broker"))).start();
    subscriber = broker.subscribe("kitproof/#");
    scene = new Scene(folder).broker(broker.port());
  }

  /** The record of a run that passed, every result of it judged, printed and received. */
  RunRecord passed(Program program, String unit, Expected expected) throws Exception {
    int code = program.exitCode();
    String printed = program.printed();
    assertThat(code).as(printed).isEqualTo(Verdict.PASS.exitCode());
    RunRecord record = scene.record(unit);
    String last = record.run() + "/" + (record.events().size() - 1) + "/unit";
    List<Received> received = subscriber.await(r -> Messages.ids(r).contains(last), LONG);
    assertThat(Messages.ofRun(received, record.run())).isEqualTo(Messages.all(record));
    expected.assertToldEverywhere(record, printed, received);
    return record;
  }

  @Override
  public void close() {
    subscriber.close();
    broker.close();
  }
}
