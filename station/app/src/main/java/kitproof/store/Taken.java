package kitproof.store;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Instant;
import java.util.List;
import kitproof.event.Event;
import kitproof.journal.RunRecord;
import kitproof.value.AgainstUnit;
import org.jspecify.annotations.Nullable;

/**
 * What the index takes of a record: its rows, without curves and events, so that many can wait for
 * one transaction.
 *
 * @param started milliseconds since 1970
 * @param ended likewise
 * @param calibrated whether the bench was; null if nothing was told of it
 * @param calibration how the bench stood to its calibration, in words; empty likewise
 * @param reference the unit that whoever started the run had chosen to compare it with, or empty
 */
record Taken(
    String run,
    Index.Stamp stamp,
    String shop,
    String station,
    String unit,
    String batch,
    String product,
    String revision,
    String plan,
    String verdict,
    String reason,
    long started,
    long ended,
    @Nullable Boolean calibrated,
    String calibration,
    String reference,
    List<ResultLine> lines) {
  Taken {
    lines = List.copyOf(lines);
  }

  static Taken of(RunRecord record, Index.Stamp stamp) {
    Instant ended = record.ended() == null ? record.started() : record.ended();
    return new Taken(
        record.run(),
        stamp,
        record.shop(),
        record.station(),
        record.unit(),
        record.batch(),
        record.product(),
        record.revision(),
        record.plan(),
        String.valueOf(record.verdict()),
        record.reason(),
        record.started().toEpochMilli(),
        ended.toEpochMilli(),
        record.calibration().map(Event.CalibrationTold::calibrated).orElse(null),
        record.calibration().map(Event.CalibrationTold::told).orElse(""),
        reference(record),
        ResultLine.of(record));
  }

  private static String reference(RunRecord record) {
    return record.steps().stream()
        .flatMap(step -> step.results().stream())
        .map(result -> AgainstUnit.chosen(result.measurement()))
        .filter(unit -> !unit.isEmpty())
        .findFirst()
        .orElse("");
  }

  /**
   * The key of its rows: when it began, and 22 bits of the digest of folder and run. It rises with
   * time, so that new rows lie beside one another; every program finds the same one.
   */
  long id(String folder) {
    try {
      byte[] digest =
          MessageDigest.getInstance("SHA-256")
              .digest((folder + "\n" + run).getBytes(StandardCharsets.UTF_8));
      int bits = ByteBuffer.wrap(digest).getInt() >>> 10;
      return (started & (1L << 41) - 1) << 22 | bits;
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
