package kitproof.driver.audio;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import kitproof.driver.InstrumentException;
import kitproof.driver.Settings;
import kitproof.wav.WavFile;

/**
 * What a bench file says of captures that are taken from files.
 *
 * @param wiring names on channels of the files
 * @param captures one for each exchange, in this order
 * @param stimuli the folder that gets each exchange's stimulus
 */
record FileSettings(Wiring wiring, List<Path> captures, Optional<Path> stimuli) {
  static final String KEY = "captures";

  static FileSettings read(Settings settings) {
    Wiring wiring = Wiring.read(settings);
    List<Path> captures = new ArrayList<>();
    for (String text : settings.texts(KEY)) {
      path(settings, KEY, text).ifPresent(path -> captures.addAll(files(settings, path)));
    }
    if (captures.isEmpty()) {
      settings.reject(KEY, "a folder with WAV files in it, or a list of WAV files");
    }
    String folder = settings.text("stimuli", "");
    Optional<Path> stimuli =
        folder.isEmpty() ? Optional.empty() : path(settings, "stimuli", folder);
    if (stimuli.filter(path -> !Files.isDirectory(path)).isPresent()) {
      settings.reject("stimuli", "a folder that is there");
    }
    return new FileSettings(wiring, List.copyOf(captures), stimuli);
  }

  /** Reads every file once, so that a wrong one shows before a run. */
  void rejectUnusable(Settings settings) {
    for (Path file : captures) {
      try {
        requireFit(WavFile.read(file), file);
      } catch (IOException | InstrumentException e) {
        settings.reject(KEY, "usable files, but " + e.getMessage());
      }
    }
  }

  /**
   * Refuses a file of another rate or with too few channels.
   *
   * @throws InstrumentException RANGE
   */
  void requireFit(WavFile wav, Path file) throws InstrumentException {
    int channels = 1 + Collections.max(wiring.inputChannels());
    if (wav.sampleRateHz() != wiring.rate()) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          file + ": found " + wav.sampleRateHz() + " Hz; expected " + wiring.rate() + " Hz");
    }
    if (wav.channels() < channels) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          file + ": found " + wav.channels() + " channels; expected at least " + channels);
    }
  }

  private static List<Path> files(Settings settings, Path path) {
    if (Files.isRegularFile(path)) {
      return List.of(path);
    }
    if (!Files.isDirectory(path)) {
      settings.reject(KEY, "files and folders that are there, not " + path);
      return List.of();
    }
    try (Stream<Path> list = Files.list(path)) {
      return list.filter(file -> file.toString().matches("(?i).*\\.wav")).sorted().toList();
    } catch (IOException e) {
      settings.reject(KEY, "a folder that can be read, not " + e);
      return List.of();
    }
  }

  /** Relative paths start where the bench file lies. */
  private static Optional<Path> path(Settings settings, String key, String text) {
    try {
      return Optional.of(Path.of(settings.section().location().file()).resolveSibling(text));
    } catch (InvalidPathException e) {
      settings.reject(key, "a path");
      return Optional.empty();
    }
  }
}
