package kitproof.mqtt;

import java.io.IOException;
import java.time.Duration;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;

/**
 * A link by the Paho client, with all that the client would keep or repeat by itself turned off:
 * the journal keeps, and {@link Publisher} repeats.
 */
final class PahoLink implements Link {
  /** More gains nothing on a local net, and is repeated after a loss. */
  private static final int WIDEST_WINDOW = 32;

  /** A reason code from here on is a refusal (MQTT 5.0, 2.4). */
  private static final int REFUSED = 0x80;

  private final PahoClient paho;
  private final Runnable stirred;
  private final Failure failure;

  private PahoLink(PahoClient paho, Runnable stirred, Failure failure) {
    this.paho = paho;
    this.stirred = stirred;
    this.failure = failure;
  }

  /** Why the link is down; the first reason counts. */
  private static final class Failure {
    private final AtomicReference<@Nullable String> reason = new AtomicReference<>();

    void say(String why) {
      reason.compareAndSet(null, why);
    }
  }

  /**
   * Makes links to one broker.
   *
   * @param station gives the client's name, so that the broker drops a stale link of the same
   *     station, and tells its last will, before it takes the new one
   */
  record Maker(BrokerAddress broker, Credentials credentials, Station station)
      implements Link.Maker {
    @Override
    public Link connect(Message lastWill, Runnable stirred) throws IOException {
      Failure failure = new Failure();
      PahoClient paho =
          PahoClient.connect(
              broker,
              credentials,
              Topics.clientName(station),
              options -> {
                MqttMessage will = paho(lastWill);
                options.setWill(lastWill.topic(), will);
                options.setWillMessageProperties(will.getProperties());
              },
              heard(failure, stirred));
      return new PahoLink(paho, stirred, failure);
    }
  }

  private static PahoClient.Heard heard(Failure failure, Runnable stirred) {
    return new PahoClient.Heard() {
      @Override
      void lost(String what, @Nullable MqttException why) {
        failure.say(what + PahoReasons.of(why));
        stirred.run();
      }
    };
  }

  private static MqttMessage paho(Message message) {
    MqttProperties properties = new MqttProperties();
    Duration kept = message.kept();
    if (kept != null) {
      properties.setMessageExpiryInterval(kept.toSeconds());
    }
    return new MqttMessage(message.bytes(), 1, message.retained(), properties);
  }

  @Override
  public int window() {
    Integer most = paho.receiveMaximum();
    return most == null ? WIDEST_WINDOW : Math.min(most, WIDEST_WINDOW);
  }

  @Override
  public Receipt publish(Message message) throws IOException {
    AtomicBoolean acknowledged = new AtomicBoolean();
    try {
      paho.client()
          .publish(
              message.topic(),
              paho(message),
              null,
              new MqttActionListener() {
                @Override
                public void onSuccess(IMqttToken token) {
                  int[] reasons = token.getReasonCodes();
                  if (reasons != null && reasons.length > 0 && reasons[0] >= REFUSED) {
                    failure.say(
                        "the broker refused a message on "
                            + message.topic()
                            + PahoReasons.code(reasons[0]));
                  } else {
                    acknowledged.set(true);
                  }
                  stirred.run();
                }

                @Override
                public void onFailure(@Nullable IMqttToken token, @Nullable Throwable cause) {
                  failure.say("a message could not be delivered: " + PahoReasons.of(cause));
                  stirred.run();
                }
              });
    } catch (MqttException e) {
      throw new IOException("a message could not be sent: " + PahoReasons.of(e), e);
    }
    return acknowledged::get;
  }

  @Override
  public void check() throws IOException {
    String reason = failure.reason.get();
    if (reason != null) {
      throw new IOException(reason);
    }
  }

  @Override
  public void leave() {
    try {
      paho.leave();
    } catch (MqttException e) {
      failure.say("taking leave failed: " + PahoReasons.of(e));
    }
  }

  @Override
  public void close() {
    MqttException wrong = paho.close();
    if (wrong != null) {
      failure.say("closing failed: " + PahoReasons.of(wrong));
    }
  }
}
