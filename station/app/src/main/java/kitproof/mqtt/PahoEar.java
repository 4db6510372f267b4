package kitproof.mqtt;

import java.io.Closeable;
import java.io.IOException;
import java.time.Duration;
import java.util.List;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;

/** A link that listens, by the Paho client; once it is lost it stays lost. */
final class PahoEar implements Closeable {
  /** A broker is not to send what would not fit the memory, hostile or not. */
  private static final long LARGEST_PACKET = 1024 * 1024;

  /** How many messages may be under way: bounds what a fast sender can pile up here. */
  private static final int WINDOW = 64;

  private final PahoClient paho;

  private PahoEar(PahoClient paho) {
    this.paho = paho;
  }

  /**
   * Connects under a name that the broker gives.
   *
   * @param lost called once it is
   * @throws IOException with a message for people
   */
  static PahoEar connect(
      BrokerAddress broker, Credentials credentials, Listener.Ear ear, Runnable lost)
      throws IOException {
    return new PahoEar(
        PahoClient.connect(broker, credentials, "", PahoEar::bounded, heard(ear, lost)));
  }

  private static void bounded(MqttConnectionOptions options) {
    options.setMaximumPacketSize(LARGEST_PACKET);
    options.setReceiveMaximum(WINDOW);
  }

  /** Asks for the messages of these topics, the retained ones first. */
  void subscribe(List<String> filters) throws IOException {
    for (String filter : filters) {
      try {
        paho.client().subscribe(filter, 1).waitForCompletion(PahoClient.CONNECT_SECONDS * 1000L);
      } catch (MqttException e) {
        throw new IOException(
            "the broker does not let us listen to " + filter + ": " + PahoReasons.of(e), e);
      }
    }
  }

  private static PahoClient.Heard heard(Listener.Ear ear, Runnable lost) {
    return new PahoClient.Heard() {
      @Override
      void lost(String what, @Nullable MqttException why) {
        lost.run();
      }

      @Override
      public void messageArrived(String topic, MqttMessage message) {
        Duration age = ageOfWill(topic, message);
        if (age == null) {
          ear.message(topic, message.getPayload());
        } else {
          ear.will(topic, message.getPayload(), age);
        }
      }
    };
  }

  /**
   * How long the broker has kept a last will: it tells how much is left of the time for which the
   * message is to be kept (MQTT 5.0, 3.3.2.3.3). Null of all other messages.
   */
  private static @Nullable Duration ageOfWill(String topic, MqttMessage message) {
    MqttProperties properties = message.getProperties();
    Long left = properties == null ? null : properties.getMessageExpiryInterval();
    long kept = Status.WILL_KEPT.toSeconds();
    return left == null || left > kept || !Topics.isStatus(topic)
        ? null
        : Duration.ofSeconds(kept - left);
  }

  @Override
  public void close() {
    paho.close(); // if that fails it is gone, which is what was wanted
  }
}
