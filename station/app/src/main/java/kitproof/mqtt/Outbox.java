package kitproof.mqtt;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Messages in order on one link: some waiting, some handed over and not yet acknowledged, never
 * more of those than the link's window.
 */
final class Outbox {
  /** A message; {@code completes} is the entry that is dealt with once it is acknowledged. */
  private record Waiting(Message message, Backlog.@Nullable Item completes) {}

  private record Sent(Link.Receipt receipt, Backlog.@Nullable Item completes) {}

  private final Link link;
  private final Deque<Waiting> waiting = new ArrayDeque<>();
  private final Deque<Sent> sent = new ArrayDeque<>();

  Outbox(Link link) {
    this.link = link;
  }

  void add(Message message, Backlog.@Nullable Item completes) {
    waiting.add(new Waiting(message, completes));
  }

  /** Whether everything added was handed over, so that there is use for more. */
  boolean wantsMore() {
    return waiting.isEmpty() && sent.size() < link.window();
  }

  boolean isEmpty() {
    return waiting.isEmpty() && sent.isEmpty();
  }

  /** Hands over what the window allows. */
  void send() throws IOException {
    while (!waiting.isEmpty() && sent.size() < link.window()) {
      Waiting next = waiting.remove();
      sent.add(new Sent(link.publish(next.message), next.completes));
    }
  }

  /**
   * Lets go of what is acknowledged, in order: one acknowledged early waits for those before it.
   *
   * @return the last entry now dealt with, by journal
   */
  Map<Path, Backlog.Item> settle() {
    Map<Path, Backlog.Item> settled = new LinkedHashMap<>();
    while (!sent.isEmpty() && sent.peek().receipt.acknowledged()) {
      Backlog.Item item = sent.remove().completes;
      if (item != null) {
        settled.put(item.journal(), item);
      }
    }
    return settled;
  }
}
