package kitproof.mqtt;

import java.io.Closeable;
import java.io.IOException;

/** A connection to a broker that is up; once it fails it stays failed. */
interface Link extends Closeable {
  /** Makes connections. */
  @FunctionalInterface
  interface Maker {
    /**
     * Connects, within a bound of its own.
     *
     * @param lastWill what the broker tells if this link dies
     * @param stirred called from any thread when {@link Link#check} or a {@link Receipt} changed
     * @throws IOException with a message for the operator
     */
    Link connect(Message lastWill, Runnable stirred) throws IOException;
  }

  /** Tells whether the broker has taken a message. */
  @FunctionalInterface
  interface Receipt {
    boolean acknowledged();
  }

  /** How many messages the broker takes before it acknowledges one. */
  int window();

  /**
   * Hands a message over, QoS 1, in order; does not wait for the broker.
   *
   * @throws IOException if the link is down
   */
  Receipt publish(Message message) throws IOException;

  /**
   * Does nothing while the link is up.
   *
   * @throws IOException with the reason if it is not, or if the broker refused a message
   */
  void check() throws IOException;

  /** Takes leave: the broker is not to tell the last will. */
  void leave();

  /** Lets go; without leave taken the broker tells the last will. */
  @Override
  void close();
}
