package kitproof.mqtt;

import java.io.Closeable;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;

/** A link that listens, by the Paho client; once it is lost it stays lost. */
final class PahoEar implements Closeable {
  private static final int CONNECT_SECONDS = 5;
  private static final int KEEP_ALIVE_SECONDS = 10;

  /** A broker is not to send what would not fit the memory, hostile or not. */
  private static final long LARGEST_PACKET = 4L * 1024 * 1024;

  /** How many messages may be under way: bounds what a fast sender can pile up here. */
  private static final int WINDOW = 64;

  private final MqttAsyncClient client;

  private PahoEar(MqttAsyncClient client) {
    this.client = client;
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
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(true);
    options.setAutomaticReconnect(false);
    options.setConnectionTimeout(CONNECT_SECONDS);
    options.setKeepAliveInterval(KEEP_ALIVE_SECONDS);
    options.setMaximumPacketSize(LARGEST_PACKET);
    options.setReceiveMaximum(WINDOW);
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
      MqttAsyncClient client = new MqttAsyncClient(uri, "", new MemoryPersistence());
      PahoEar link = new PahoEar(client);
      client.setCallback(callback(ear, lost));
      try {
        client.connect(options).waitForCompletion((CONNECT_SECONDS + 1) * 1000L);
        return link;
      } catch (MqttException e) {
        link.close();
        throw e;
      }
    } catch (MqttException e) {
      throw new IOException(PahoReasons.connecting(broker, credentials, e), e);
    }
  }

  /** Asks for the messages of these topics, the retained ones first. */
  void subscribe(List<String> filters) throws IOException {
    for (String filter : filters) {
      try {
        client.subscribe(filter, 1).waitForCompletion(CONNECT_SECONDS * 1000L);
      } catch (MqttException e) {
        throw new IOException(
            "the broker does not let us listen to " + filter + ": " + PahoReasons.of(e), e);
      }
    }
  }

  /** Nothing here may throw: that would end the client's own thread. */
  private static MqttCallback callback(Listener.Ear ear, Runnable lost) {
    return new MqttCallback() {
      @Override
      public void messageArrived(String topic, MqttMessage message) {
        ear.message(topic, message.getPayload());
      }

      @Override
      public void disconnected(@Nullable MqttDisconnectResponse response) {
        lost.run();
      }

      @Override
      public void mqttErrorOccurred(@Nullable MqttException exception) {
        lost.run();
      }

      @Override
      public void deliveryComplete(IMqttToken token) {}

      @Override
      public void connectComplete(boolean reconnect, String serverUri) {}

      @Override
      public void authPacketArrived(int reasonCode, MqttProperties properties) {}
    };
  }

  @Override
  public void close() {
    try {
      if (client.isConnected()) {
        client.disconnectForcibly(0, 500, true);
      }
      client.close(true);
    } catch (MqttException e) {
      return; // it is gone, which is what was wanted
    }
  }
}
