package kitproof.mqtt;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.atomic.AtomicBoolean;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;

/**
 * A link by the Paho client, with all that the client would keep or repeat by itself turned off:
 * the journal keeps, and {@link Publisher} repeats.
 */
final class PahoLink implements Link {
  private static final int CONNECT_SECONDS = 5;

  /** How soon the broker finds out that the station is gone without a word: 1.5 times this. */
  private static final int KEEP_ALIVE_SECONDS = 10;

  /** More gains nothing on a local net, and is repeated after a loss. */
  private static final int WIDEST_WINDOW = 32;

  private static final long LEAVE_MILLIS = 500;

  /** A reason code from here on is a refusal (MQTT 5.0, 2.4). */
  private static final int REFUSED = 0x80;

  private final MqttAsyncClient client;
  private final Runnable stirred;
  private volatile @Nullable String failure;
  private int window = 1;

  private PahoLink(MqttAsyncClient client, Runnable stirred) {
    this.client = client;
    this.stirred = stirred;
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
      MqttConnectionOptions options = new MqttConnectionOptions();
      options.setCleanStart(true);
      options.setAutomaticReconnect(false);
      options.setConnectionTimeout(CONNECT_SECONDS);
      options.setKeepAliveInterval(KEEP_ALIVE_SECONDS);
      options.setWill(lastWill.topic(), paho(lastWill));
      if (credentials.user() != null) {
        options.setUserName(credentials.user());
      }
      if (credentials.password() != null) {
        options.setPassword(credentials.password().getBytes(StandardCharsets.UTF_8));
      }
      if (broker.encrypted()) {
        options.setSocketFactory(Tls.sockets(credentials.authorities()));
        options.setHttpsHostnameVerificationEnabled(true);
      }
      String uri = (broker.encrypted() ? "ssl://" : "tcp://") + broker.host() + ":" + broker.port();
      try {
        MqttAsyncClient client =
            new MqttAsyncClient(uri, Topics.clientName(station), new MemoryPersistence());
        PahoLink link = new PahoLink(client, stirred);
        client.setCallback(link.callback());
        try {
          IMqttToken token = client.connect(options);
          token.waitForCompletion((CONNECT_SECONDS + 1) * 1000L);
          MqttProperties properties = token.getResponseProperties();
          Integer most = properties == null ? null : properties.getReceiveMaximum();
          link.window = most == null ? WIDEST_WINDOW : Math.min(most, WIDEST_WINDOW);
          return link;
        } catch (MqttException e) {
          link.close();
          throw e;
        }
      } catch (MqttException e) {
        throw new IOException(PahoReasons.connecting(broker, credentials, e), e);
      }
    }
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
    return window;
  }

  @Override
  public Receipt publish(Message message) throws IOException {
    AtomicBoolean acknowledged = new AtomicBoolean();
    try {
      client.publish(
          message.topic(),
          paho(message),
          null,
          new MqttActionListener() {
            @Override
            public void onSuccess(IMqttToken token) {
              int[] reasons = token.getReasonCodes();
              if (reasons != null && reasons.length > 0 && reasons[0] >= REFUSED) {
                fail(
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
              fail("a message could not be delivered: " + PahoReasons.of(cause));
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
    String reason = failure;
    if (reason != null) {
      throw new IOException(reason);
    }
  }

  private void fail(String reason) {
    if (failure == null) {
      failure = reason;
    }
  }

  /** Nothing here may throw: that would end the client's own thread. */
  private MqttCallback callback() {
    return new MqttCallback() {
      @Override
      public void disconnected(@Nullable MqttDisconnectResponse response) {
        fail(
            "the broker is gone: "
                + PahoReasons.of(response == null ? null : response.getException()));
        stirred.run();
      }

      @Override
      public void mqttErrorOccurred(@Nullable MqttException exception) {
        fail("the link failed: " + PahoReasons.of(exception));
        stirred.run();
      }

      @Override
      public void messageArrived(String topic, MqttMessage message) {}

      @Override
      public void deliveryComplete(IMqttToken token) {}

      @Override
      public void connectComplete(boolean reconnect, String serverUri) {}

      @Override
      public void authPacketArrived(int reasonCode, MqttProperties properties) {}
    };
  }

  @Override
  public void leave() {
    try {
      if (client.isConnected()) {
        client.disconnect(0).waitForCompletion(LEAVE_MILLIS);
      }
    } catch (MqttException e) {
      fail("taking leave failed: " + PahoReasons.of(e));
    }
  }

  @Override
  public void close() {
    try {
      if (client.isConnected()) {
        client.disconnectForcibly(0, LEAVE_MILLIS, false);
      }
      client.close(true);
    } catch (MqttException e) {
      fail("closing failed: " + PahoReasons.of(e));
    }
  }
}
