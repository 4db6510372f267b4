package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.OptionalDouble;
import kitproof.event.Event;
import kitproof.journal.CaptureFolder;
import kitproof.journal.RecordDocument;

/**
 * A capture that a run has kept, known by the record that it lies beside: {@code
 * records/captures/RUN/….wav} and {@code records/RUN.json}.
 *
 * @param run the run's name
 * @param kept what the record says of it
 */
record StationCapture(String run, Event.CaptureKept kept) {
  /** Of a file; empty if no record says anything of it as it is. */
  static Optional<StationCapture> of(Path file) {
    Path absolute = file.toAbsolutePath().normalize();
    Path folder = absolute.getParent();
    Path captures = folder == null ? null : folder.getParent();
    Path records = captures == null ? null : captures.getParent();
    if (folder == null || records == null) {
      return Optional.empty();
    }
    Path document = records.resolve(folder.getFileName() + ".json");
    try {
      if (!Files.isRegularFile(document)) {
        return Optional.empty();
      }
      var record = RecordDocument.read(document);
      for (Event.CaptureKept kept : CaptureFolder.of(record)) {
        if (records.resolve(kept.file()).normalize().equals(absolute)
            && CaptureFolder.trouble(records, kept).isEmpty()) {
          return Optional.of(new StationCapture(record.run(), kept));
        }
      }
      return Optional.empty();
    } catch (IOException e) {
      return Optional.empty(); // no record of ours: the capture is one from elsewhere
    }
  }

  /**
   * The peak that was played for a channel, volts at the generator: on the output of the same name,
   * or on the only one that was driven; empty if that is not known.
   *
   * @param channel of the file, from 1
   */
  OptionalDouble drive(int channel) {
    String input = channel <= kept.inputs().size() ? kept.inputs().get(channel - 1).name() : "";
    Double own = kept.drives().get(input);
    if (own != null && own > 0) {
      return OptionalDouble.of(own);
    }
    double[] driven =
        kept.drives().values().stream().mapToDouble(drive -> drive).filter(d -> d > 0).toArray();
    return driven.length == 1 ? OptionalDouble.of(driven[0]) : OptionalDouble.empty();
  }
}
