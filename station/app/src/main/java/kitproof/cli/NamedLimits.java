package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import kitproof.document.Parsed;
import kitproof.limit.LimitFile;
import kitproof.plan.Places;
import kitproof.plan.Plan;
import kitproof.value.Nearest;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/** The limit file that a plan names. */
final class NamedLimits {
  private NamedLimits() {}

  /** Its content, or what is wrong with it; told at its name in the plan where it is not there. */
  static Parsed<LimitFile> of(Plan plan) {
    Path file = plan.limits();
    if (Files.exists(file)) {
      return LimitFile.read(file);
    }
    return Parsed.wrong(
        List.of(
            new Problem(
                Places.of(plan.source(), "limits"),
                "no file " + file,
                "the limit file, by its path from the plan",
                beside(file))));
  }

  /** The file in its folder whose name is nearest; null if none is near. */
  private static @Nullable String beside(Path file) {
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      return null;
    }
    try (Stream<Path> files = Files.list(folder)) {
      Optional<String> nearest =
          Nearest.to(
              String.valueOf(file.getFileName()),
              files.map(one -> String.valueOf(one.getFileName())).toList());
      return nearest.orElse(null);
    } catch (IOException e) {
      return null; // what is beside it cannot be told
    }
  }
}
