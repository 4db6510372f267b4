package kitproof.driver.audio;

import java.util.List;
import java.util.OptionalInt;

/**
 * Lines that have run without a break since they were started, and what is known of them.
 *
 * <p>From playing to capturing takes the same time all the while; what it is shows in the first
 * exchange that is marked.
 */
final class RunningLines {
  private final Lines lines;
  private final Transfer transfer;
  private volatile OptionalInt delay = OptionalInt.empty();
  private volatile List<Integer> markerChannels = List.of();

  RunningLines(Lines lines, Transfer transfer) {
    this.lines = lines;
    this.transfer = transfer;
  }

  Lines lines() {
    return lines;
  }

  Transfer transfer() {
    return transfer;
  }

  /** How many frames the way takes, if it has been found. */
  OptionalInt delay() {
    return delay;
  }

  /** It has been found with markers on these channels of the device. */
  void learn(int frames, List<Integer> channels) {
    markerChannels = channels;
    delay = OptionalInt.of(frames);
  }

  /** Whether the place of this passage's stimulus is known without a marker before it. */
  boolean mayFollow(Passage passage) {
    return delay.isPresent()
        && (!passage.marked() || passage.markerChannels().equals(markerChannels));
  }
}
