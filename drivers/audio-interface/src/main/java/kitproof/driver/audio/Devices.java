package kitproof.driver.audio;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.DataLine;
import javax.sound.sampled.Line;
import javax.sound.sampled.Mixer;
import javax.sound.sampled.SourceDataLine;
import javax.sound.sampled.TargetDataLine;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.value.Nearest;

/** The audio devices of this machine, as Java Sound names them. */
final class Devices {
  private Devices() {}

  /** A device and a format it says it can do, with nothing left open. */
  record Offer(Mixer mixer, AudioFormat format) {}

  /** A line for each device and direction: name, bits, channels, rates. */
  static List<String> present() {
    List<String> lines = new ArrayList<>();
    for (Mixer.Info info : AudioSystem.getMixerInfo()) {
      describe(info, "output", SourceDataLine.class).ifPresent(lines::add);
      describe(info, "input", TargetDataLine.class).ifPresent(lines::add);
    }
    return lines;
  }

  /**
   * The devices that the settings may come to mean, each direction for itself. A device by the name
   * "default" may be any of them, and so may the first that fits: who means that takes them all.
   */
  static List<String> claims(LiveSettings settings) {
    List<String> claims = new ArrayList<>();
    claims.addAll(claims(SourceDataLine.class, "audio output", settings.outputDevice()));
    claims.addAll(claims(TargetDataLine.class, "audio input", settings.inputDevice()));
    return claims;
  }

  private static List<String> claims(
      Class<? extends DataLine> type, String direction, String wanted) {
    List<String> names;
    try {
      names = named(type, direction, wanted).stream().map(Mixer.Info::getName).toList();
      if (names.stream().anyMatch(name -> name.toLowerCase(Locale.ROOT).startsWith("default"))) {
        names = named(type, direction, "").stream().map(Mixer.Info::getName).toList();
      }
    } catch (InstrumentException absent) {
      names = List.of(wanted); // opening it will say so
    }
    // A device's name holds within one configuration of the sound system.
    String own = System.getenv().getOrDefault("ALSA_CONFIG_PATH", "");
    String where = own.isEmpty() ? "" : " of " + own;
    return names.stream().map(name -> direction + " \"" + name + "\"" + where).toList();
  }

  /**
   * Every format that would do, the best first, on the devices that the settings mean.
   *
   * @throws InstrumentException UNREACHABLE if there is no such device, RANGE if it has no such
   *     format
   */
  static List<Offer> fitting(Class<? extends DataLine> type, LiveSettings settings)
      throws InstrumentException {
    boolean output = type == SourceDataLine.class;
    String direction = output ? "output" : "input";
    String wanted = output ? settings.outputDevice() : settings.inputDevice();
    List<Mixer.Info> devices = named(type, direction, wanted);
    int channels = 1 + Collections.max(output ? outputs(settings) : inputs(settings));
    List<Offer> offers = new ArrayList<>();
    for (Mixer.Info device : devices) {
      Mixer mixer = AudioSystem.getMixer(device);
      formats(mixer, type)
          .filter(f -> fits(f, settings, channels))
          .map(f -> complete(f, settings.wiring().rate(), channels))
          .distinct()
          .sorted(
              Comparator.comparing((AudioFormat f) -> f.getChannels() < 2)
                  .thenComparing(AudioFormat::getChannels)
                  .thenComparing(AudioFormat::isBigEndian)
                  .thenComparing(AudioFormat::getFrameSize))
          .limit(8)
          .forEach(f -> offers.add(new Offer(mixer, f)));
    }
    if (offers.isEmpty()) {
      String found =
          devices.stream()
              .flatMap(info -> describe(info, direction, type).stream())
              .collect(Collectors.joining("; "));
      throw new InstrumentException(
          Kind.RANGE,
          "found "
              + found
              + "; expected "
              + settings.bits()
              + " bits, "
              + settings.wiring().rate()
              + " Hz and at least "
              + channels
              + " channels");
    }
    return offers;
  }

  /** The device's input channels that a capture needs. */
  static List<Integer> inputs(LiveSettings settings) {
    Set<Integer> channels = new LinkedHashSet<>(settings.wiring().inputChannels());
    settings.reference().ifPresent(r -> channels.add(r.input()));
    return List.copyOf(channels);
  }

  private static Set<Integer> outputs(LiveSettings settings) {
    Set<Integer> channels = new TreeSet<>(settings.wiring().outputChannels());
    settings.reference().flatMap(LiveSettings.Reference::output).ifPresent(channels::add);
    return channels;
  }

  private static List<Mixer.Info> named(
      Class<? extends DataLine> type, String direction, String wanted) throws InstrumentException {
    List<Mixer.Info> able =
        Arrays.stream(AudioSystem.getMixerInfo())
            .filter(info -> formats(AudioSystem.getMixer(info), type).findAny().isPresent())
            .toList();
    List<Mixer.Info> exact = able.stream().filter(i -> i.getName().equals(wanted)).toList();
    List<Mixer.Info> found =
        exact.isEmpty() ? able.stream().filter(i -> i.getName().contains(wanted)).toList() : exact;
    if (found.isEmpty()) {
      List<String> names = able.stream().map(Mixer.Info::getName).toList();
      throw new InstrumentException(
          Kind.UNREACHABLE,
          "no audio "
              + direction
              + (wanted.isEmpty() ? "" : " named \"" + wanted + "\"")
              + "; present: "
              + (names.isEmpty() ? "none" : String.join(", ", names))
              + Nearest.to(wanted, names).map(n -> "; did you mean \"" + n + "\"?").orElse(""));
    }
    return found;
  }

  private static Stream<AudioFormat> formats(Mixer mixer, Class<? extends DataLine> type) {
    boolean output = type == SourceDataLine.class;
    Line.Info[] lines = output ? mixer.getSourceLineInfo() : mixer.getTargetLineInfo();
    return Arrays.stream(lines)
        .filter(line -> line.getLineClass() == type && line instanceof DataLine.Info)
        .flatMap(line -> Arrays.stream(((DataLine.Info) line).getFormats()))
        .filter(format -> format.getEncoding() == AudioFormat.Encoding.PCM_SIGNED);
  }

  private static boolean fits(AudioFormat format, LiveSettings settings, int channels) {
    boolean rate =
        format.getSampleRate() == AudioSystem.NOT_SPECIFIED
            || format.getSampleRate() == settings.wiring().rate();
    boolean enough =
        format.getChannels() == AudioSystem.NOT_SPECIFIED || format.getChannels() >= channels;
    return format.getSampleSizeInBits() == settings.bits() && rate && enough;
  }

  private static AudioFormat complete(AudioFormat format, int rate, int channels) {
    boolean open = format.getChannels() == AudioSystem.NOT_SPECIFIED;
    int count = open ? channels : format.getChannels();
    int bits = format.getSampleSizeInBits();
    int frame = open ? count * bits / 8 : format.getFrameSize();
    return new AudioFormat(
        format.getEncoding(), rate, bits, count, frame, rate, format.isBigEndian());
  }

  private static java.util.Optional<String> describe(
      Mixer.Info info, String direction, Class<? extends DataLine> type) {
    List<AudioFormat> formats = formats(AudioSystem.getMixer(info), type).toList();
    if (formats.isEmpty()) {
      return java.util.Optional.empty();
    }
    String bits = numbers(formats.stream().map(AudioFormat::getSampleSizeInBits), " bits");
    String channels = numbers(formats.stream().map(AudioFormat::getChannels), " channels");
    String rates = numbers(formats.stream().map(f -> (int) f.getSampleRate()), " Hz");
    return java.util.Optional.of(
        direction + " \"" + info.getName() + "\": " + bits + ", " + channels + ", " + rates);
  }

  /** "16/24/32 bits", "1 to 32 channels", "any Hz". */
  private static String numbers(Stream<Integer> numbers, String unit) {
    TreeSet<Integer> sorted = numbers.collect(Collectors.toCollection(TreeSet::new));
    if (sorted.contains(AudioSystem.NOT_SPECIFIED)) {
      return "any" + unit;
    }
    String text =
        sorted.size() > 6
            ? sorted.first() + " to " + sorted.last()
            : sorted.stream().map(String::valueOf).collect(Collectors.joining("/"));
    return text + unit;
  }
}
