package kitproof.driver.audio;

import java.util.List;
import java.util.Set;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.value.Problem;

/** The door of the driver {@code audio-interface}. */
public final class AudioDriver implements DriverProvider {
  private static final List<Setting> SETTINGS =
      List.of(
          new Setting(
              "outputs",
              "names with {channel: 1, full-scale: \"2 V\"}",
              "",
              "The device's output channels, counted from 1, and their full scale."),
          new Setting(
              "inputs",
              "names with {channel: 1, full-scale: \"40 V\"}",
              "",
              "The device's input channels and the full scale before their attenuators."),
          new Setting("rate", "8 kHz to 192 kHz", "48 kHz", "Samples per second."),
          new Setting("bits", "16, 24 or 32", "24", "Bits of a sample."),
          new Setting(
              "output-device",
              "a device's name or a part of it",
              "the first that fits",
              "What plays; \"kitproof drivers\" lists the names."),
          new Setting(
              "input-device",
              "a device's name or a part of it",
              "the first that fits",
              "What captures; must run on the same clock as what plays."),
          new Setting(
              "align",
              "marker or none",
              "marker",
              "How the stimulus is found in the capture: by a marker before it, or not at all."),
          new Setting(
              "latency",
              "a time up to 200 ms, such as \"12 ms\"",
              "0 s",
              "From playing to capturing, if nothing is looked for."),
          new Setting(
              "marker-level",
              "-80 dB to 0 dB",
              "-40 dB",
              "The marker's peak relative to an output's full scale."),
          new Setting(
              "reference",
              "{input: 2} or {input: 2, output: 3}",
              "none: the marker goes through the unit",
              "A wire past the unit, on which alone the marker is looked for, and its own output."),
          new Setting("buffer", "10 ms to 1 s", "100 ms", "How much the device holds."),
          new Setting(
              "timeout",
              "100 ms to 60 s",
              "3 s",
              "When a device that stands still counts as lost."),
          new Setting(
              FileSettings.KEY,
              "a folder, or a list of WAV files",
              "none: the device plays and captures",
              "Takes each exchange's capture from the next file instead of a device."),
          new Setting(
              "stimuli",
              "a folder",
              "none",
              "Where each stimulus is written, beside captures from files."));

  @Override
  public DriverDescription describe() {
    return new DriverDescription(
        "audio-interface",
        "Plays and captures through the sound system, or takes captures from WAV files.",
        Set.of(InstrumentKind.AUDIO_INTERFACE),
        SETTINGS);
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    if (settings.has(FileSettings.KEY)) {
      FileSettings read = FileSettings.read(settings);
      if (settings.problems().isEmpty()) {
        read.rejectUnusable(settings);
      }
    } else {
      LiveSettings.read(settings);
    }
    return settings.problems();
  }

  /**
   * The devices by what the file says of them: the sound system may let two programs play at once,
   * and each would hear the other's. A folder of stimuli is one run's too; captures are only read.
   */
  @Override
  public List<String> claims(InstrumentKind kind, Settings settings) {
    if (settings.has(FileSettings.KEY)) {
      return FileSettings.read(settings).stimuli().stream()
          .map(folder -> folder.toAbsolutePath().normalize().toString())
          .toList();
    }
    return Devices.claims(LiveSettings.read(settings));
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    if (settings.has(FileSettings.KEY)) {
      FileSettings read = FileSettings.read(settings);
      settings.requireSound();
      return new FileAudio(read);
    }
    LiveSettings read = LiveSettings.read(settings);
    settings.requireSound();
    return LiveAudio.open(read, context.clock());
  }

  @Override
  public List<String> present() {
    return Devices.present();
  }
}
