package kitproof.cli;

import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import kitproof.journal.RecordDocument;
import kitproof.journal.ResultDocument;
import kitproof.journal.RunRecord;
import kitproof.plot.Plots;
import kitproof.value.Measurement;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;

/**
 * What a file of results holds: the record of a run, or what an analysis kept with {@code
 * --curves}.
 *
 * @param source the results with where they come from
 * @param isRun whether they are a run's, under the conditions of its plan
 */
record ResultFile(Plots.Source source, boolean isRun) {
  /**
   * Reads it.
   *
   * @throws ParameterException if it cannot be read
   */
  static ResultFile read(CommandSpec spec, Path file) {
    String expected = "expected the record of a run, or what analyze kept with --curves";
    try {
      Optional<ResultDocument> analysis = ResultDocument.read(file);
      if (analysis.isPresent()) {
        return new ResultFile(Plots.Source.of(analysis.get()), false);
      }
      RunRecord record = RecordDocument.read(file);
      return new ResultFile(Plots.Source.of(record), true);
    } catch (NoSuchFileException e) {
      throw new ParameterException(
          spec.commandLine(), file + ": found no such file; " + expected, e);
    } catch (IOException e) {
      throw new ParameterException(spec.commandLine(), e.getMessage() + "; " + expected, e);
    }
  }

  /** The unit, or what was analysed. */
  String name() {
    return source.what();
  }

  List<Measurement> measurements() {
    return source.results().stream().map(RunRecord.Result::measurement).toList();
  }
}
