package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.signal.Sweep;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Captures that lie beside their record: it says what was played, and nobody else need. */
class StationCaptureTest {
  private static final int RATE = 48_000;
  private static final Sweep SWEEP = Sweep.synchronised(20, 20_000, 1, RATE);

  /** Of the peak, for the sweep into the other load: 1.463 dB. */
  private static final double LOWER = 0.845;

  @TempDir Path folder;
  private final List<Event> kept = new ArrayList<>();

  private Path captured(String name, double gain, double drive, String range) throws IOException {
    double[] samples = new double[SWEEP.length() + 2000];
    double[] played = SWEEP.samples(0.5);
    for (int i = 0; i < played.length; i++) {
      samples[i + 500] = gain * played[i];
    }
    String file = "captures/" + Fixture.RUN + "/" + name + ".wav";
    Path path = folder.resolve(file);
    Files.createDirectories(path.getParent());
    WavFile.of(WavEncoding.PCM_32, RATE, samples).write(path);
    Event.CaptureKept one =
        new Event.CaptureKept(
            0,
            "audio",
            file,
            Digest.of(path),
            RATE,
            List.of(new Event.Port("left", 2), new Event.Port("right", 2)),
            List.of(new Event.Port("left", 40)),
            Map.of("left", Quantity.of(8, Unit.OHM)),
            range,
            "",
            false,
            false);
    kept.add(drive > 0 ? one.driven(Map.of("left", drive, "right", 0.0)) : one);
    return path;
  }

  /** The record of a run that kept these. */
  private void record() throws IOException {
    RecordStore store = new RecordStore(folder);
    try (Journal journal = store.begin(Fixture.RUN, () -> Instant.EPOCH)) {
      for (Event event : Fixture.events()) {
        if (event instanceof Event.RunEnded) {
          for (Event capture : kept) {
            journal.append(capture);
          }
        }
        journal.append(event);
      }
      RecordDocument.write(store, journal.file());
    }
  }

  private static Cli impedance(Path first, Path second, String... more) {
    List<Object> arguments =
        new ArrayList<>(
            List.of("analyze", "output-impedance", first, second, "--first-load", "8 ohm"));
    arguments.addAll(List.of("--second-load", "6 ohm", "--sweep", "20 Hz..20 kHz"));
    arguments.addAll(List.of("--duration", "1 s", "--json"));
    arguments.addAll(List.of(more));
    return Cli.run(arguments.toArray());
  }

  private static Cli inputImpedance(Path without, Path with, String... more) {
    List<Object> arguments =
        new ArrayList<>(
            List.of("analyze", "input-impedance", without, with, "--resistor", "47 kohm"));
    arguments.addAll(List.of("--sweep", "20 Hz..20 kHz", "--duration", "1 s", "--json"));
    arguments.addAll(List.of(more));
    return Cli.run(arguments.toArray());
  }

  private static double ohms(Cli cli) {
    assertThat(cli.code()).as(cli.err()).isZero();
    for (JsonNode result : cli.json().get("results")) {
      if (result.get("name").asText().endsWith("put impedance at 1 kHz")) {
        return result.get("value").asDouble();
      }
    }
    throw new AssertionError(cli.out());
  }

  /** Closed form: behind 47 kohm an input of 100 kohm has 100/147 of the volts. */
  @Test
  void soItIsWithAnInput() throws IOException {
    Path without = captured("1", 1, 1, "");
    Path with = captured("2", LOWER * 100 / 147, LOWER, "");
    record();
    assertThat(ohms(inputImpedance(without, with))).isCloseTo(100e3, within(500.0));
    Path away = Files.copy(with, folder.resolve("away.wav"));
    Cli refused = inputImpedance(without, away);
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err())
        .contains("away.wav: found no record that tells of it as it is", "or --second-lower");
    assertThat(ohms(inputImpedance(without, away, "--second-lower", "1.463 dB")))
        .isCloseTo(100e3, within(500.0));
    assertThat(inputImpedance(without, with, "--second-lower", "0 dB").code()).isEqualTo(2);
  }

  @Test
  void andWhereTheRecordIsFromBefore() throws IOException {
    Path without = captured("1", 1, 0, "");
    Path with = captured("2", LOWER * 100 / 147, 0, "");
    record();
    assertThat(inputImpedance(without, with).err())
        .contains("found a record that does not say what was played; expected --second-lower");
  }

  /** Closed form: 0.4 ohm makes 8/8.4 of 8 ohm and 6/6.4 of 6 ohm. */
  @Test
  void theRecordSaysHowMuchLowerTheSecondWasPlayed() throws IOException {
    Path first = captured("1", 8 / 8.4, 1, "");
    Path second = captured("2", LOWER * 6 / 6.4, LOWER, "");
    record();
    assertThat(ohms(impedance(first, second))).isCloseTo(0.4, within(0.004));
    assertThat(ohms(impedance(first, second, "--second-lower", "1.463 dB")))
        .isCloseTo(0.4, within(0.004));
    Cli contradicted = impedance(first, second, "--second-lower", "0 dB");
    assertThat(contradicted.code()).isEqualTo(2);
    assertThat(contradicted.err())
        .contains("--second-lower: found \"0 dB\"; expected \"1.463 dB\"", Fixture.RUN);
  }

  @Test
  void whatLiesElsewhereOrWasAlteredMustBeTold() throws IOException {
    Path first = captured("1", 8 / 8.4, 1, "");
    Path second = captured("2", LOWER * 6 / 6.4, LOWER, "");
    record();
    Path away = Files.copy(second, folder.resolve("away.wav"));
    Cli refused = impedance(first, away);
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err())
        .contains("away.wav: found no record that tells of it as it is", "or --second-lower");
    assertThat(impedance(away, first).code()).isEqualTo(2);
    assertThat(ohms(impedance(first, away, "--second-lower", "1.463 dB")))
        .isCloseTo(0.4, within(0.004));
  }

  @Test
  void recordsFromBeforeThisWasKeptSayNothing() throws IOException {
    Path first = captured("1", 8 / 8.4, 0, "");
    Path second = captured("2", LOWER * 6 / 6.4, 0, "");
    record();
    Cli refused = impedance(first, second);
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err())
        .contains("found a record that does not say what was played; expected --second-lower");
    assertThat(ohms(impedance(first, second, "--second-lower", "1.463 dB")))
        .isCloseTo(0.4, within(0.004));
  }

  @Test
  void capturesInTwoInputRangesAreNoPair() throws IOException {
    Path first = captured("1", 8 / 8.4, 1, "range 20 V");
    Path second = captured("2", LOWER * 6 / 6.4, LOWER, "range 5 V");
    record();
    Cli refused = impedance(first, second);
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err()).contains("found a capture in input range \"range 5 V\"");
  }
}
