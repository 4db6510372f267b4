package kitproof.console;

import java.io.IOException;
import java.io.PrintStream;
import java.time.Duration;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import kitproof.event.Entry;
import kitproof.journal.Follower;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Prints a run while it goes on, on a thread of its own that reads the journal: a terminal that
 * does not take what is printed, or fails, delays nobody else.
 */
public final class RunConsole implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(RunConsole.class);
  private static final Duration BOUND = Duration.ofMillis(500);
  private static final Duration SOON = Duration.ofMillis(100);
  private static final Duration PATIENCE = Duration.ofSeconds(5);
  private static final String CLEAR_LINE = "\r\u001b[K";

  private final Follower follower;
  private final PrintStream out;
  private final boolean terminal;
  private final InstantSource clock;
  private final Duration patience;
  private final Runnable gone;
  private final @Nullable Conversation conversation;
  private final Words words;
  private final RunLines lines;
  private final StatusLine status = new StatusLine();
  private final Queue<String> said = new ConcurrentLinkedQueue<>();
  private final Thread thread;
  private String below = "";

  /**
   * Begins to print.
   *
   * @param follower of the run's journal; closed at the end
   * @param terminal whether {@code out} is one, which gets a status line below
   * @param clock of the run
   * @param conversation with the person before the terminal, or null if nobody is asked there
   * @param gone called once if a terminal takes nothing more, so that nobody can be watching
   */
  public RunConsole(
      Follower follower,
      PrintStream out,
      Words words,
      boolean terminal,
      InstantSource clock,
      @Nullable Conversation conversation,
      Runnable gone) {
    this(follower, out, words, terminal, clock, conversation, "", gone);
  }

  /**
   * The same, where it must not be seen what the unit is and what it measures.
   *
   * @param label what the unit is called; empty if nothing is hidden
   */
  public RunConsole(
      Follower follower,
      PrintStream out,
      Words words,
      boolean terminal,
      InstantSource clock,
      @Nullable Conversation conversation,
      String label,
      Runnable gone) {
    this(follower, out, words, terminal, clock, conversation, label, gone, PATIENCE);
  }

  RunConsole(
      Follower follower,
      PrintStream out,
      Words words,
      boolean terminal,
      InstantSource clock,
      @Nullable Conversation conversation,
      String label,
      Runnable gone,
      Duration patience) {
    this.follower = follower;
    this.out = out;
    this.terminal = terminal;
    this.clock = clock;
    this.gone = gone;
    this.conversation = conversation;
    this.words = words;
    this.patience = patience;
    this.lines = new RunLines(words, label);
    this.thread = new Thread(this::follow, "kitproof-console");
    this.thread.setDaemon(true);
    this.thread.start();
  }

  private void follow() {
    try (follower) {
      boolean lost = false;
      while (!follower.finished()) {
        print(follower.await(100, conversation == null ? BOUND : SOON));
        boolean silent = conversation != null && conversation.over();
        if (!lost && (silent || (terminal && out.checkError()))) {
          lost = true;
          gone.run();
        }
      }
      if (!said.isEmpty()) {
        print(List.of());
      }
    } catch (IOException e) {
      LOG.warn("the console cannot read the journal any more", e);
    } catch (RuntimeException e) {
      LOG.warn("the console cannot print any more", e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /**
   * Prints a line that is in no journal, when it next prints.
   *
   * @return false if it prints no more, since the run is over
   */
  public boolean say(String line) {
    said.add(line);
    return thread.isAlive() || !said.remove(line); // it may have printed that as its last
  }

  private void print(List<Entry> entries) {
    List<String> told = new ArrayList<>();
    for (String line = said.poll(); line != null; line = said.poll()) {
      told.add(line);
    }
    for (Entry entry : entries) {
      status.note(entry);
      told.addAll(lines.of(entry));
    }
    if (conversation != null) {
      told.addAll(conversation.news(words));
    }
    String place = conversation == null ? "" : conversation.typing().orElse("");
    if (told.isEmpty() && !place.isEmpty() && place.equals(below)) {
      return; // what is being typed there is left alone
    }
    if (terminal) {
      out.print(CLEAR_LINE);
    }
    told.forEach(out::println);
    below = place;
    if (terminal) {
      out.print(place.isEmpty() ? live().orElse(status.text(clock.instant())) : place);
    }
    out.flush();
  }

  private Optional<String> live() {
    return conversation == null ? Optional.empty() : conversation.live();
  }

  /** Waits until all has been printed, but not for ever. */
  @Override
  public void close() {
    try {
      thread.join(patience.toMillis());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
