package kitproof.mqtt;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.function.Consumer;
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

/**
 * The Paho client as we use it to tell and to listen: connected within a bound, with all that it
 * would keep or repeat by itself turned off. Once the link is lost it stays lost.
 */
final class PahoClient {
  static final int CONNECT_SECONDS = 5;

  /** How soon the broker finds out that we are gone without a word: 1.5 times this. */
  private static final int KEEP_ALIVE_SECONDS = 10;

  private static final long LEAVE_MILLIS = 500;

  private final MqttAsyncClient client;
  private final @Nullable Integer receiveMaximum;

  private PahoClient(MqttAsyncClient client, @Nullable Integer receiveMaximum) {
    this.client = client;
    this.receiveMaximum = receiveMaximum;
  }

  /**
   * Connects.
   *
   * @param name of this client; empty for one that the broker gives
   * @param more sets what only one side needs
   * @throws IOException with a message for people
   */
  static PahoClient connect(
      BrokerAddress broker,
      Credentials credentials,
      String name,
      Consumer<MqttConnectionOptions> more,
      Heard heard)
      throws IOException {
    MqttConnectionOptions options = options(broker, credentials);
    more.accept(options);
    String uri = (broker.encrypted() ? "ssl://" : "tcp://") + broker.host() + ":" + broker.port();
    try {
      MqttAsyncClient client = new MqttAsyncClient(uri, name, new MemoryPersistence());
      client.setCallback(heard);
      try {
        IMqttToken token = client.connect(options);
        token.waitForCompletion((CONNECT_SECONDS + 1) * 1000L);
        MqttProperties properties = token.getResponseProperties();
        return new PahoClient(client, properties == null ? null : properties.getReceiveMaximum());
      } catch (MqttException e) {
        new PahoClient(client, null).close();
        throw e;
      }
    } catch (MqttException e) {
      throw new IOException(PahoReasons.connecting(broker, credentials, e), e);
    }
  }

  private static MqttConnectionOptions options(BrokerAddress broker, Credentials credentials)
      throws IOException {
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(true);
    options.setAutomaticReconnect(false);
    options.setConnectionTimeout(CONNECT_SECONDS);
    options.setKeepAliveInterval(KEEP_ALIVE_SECONDS);
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
    return options;
  }

  MqttAsyncClient client() {
    return client;
  }

  /** How many messages the broker takes before it acknowledges one; null if it did not say. */
  @Nullable Integer receiveMaximum() {
    return receiveMaximum;
  }

  /** Says goodbye: the broker is not to tell the last will. */
  void leave() throws MqttException {
    if (client.isConnected()) {
      client.disconnect(0).waitForCompletion(LEAVE_MILLIS);
    }
  }

  /**
   * Lets go.
   *
   * @return what went wrong, or null
   */
  @Nullable MqttException close() {
    try {
      if (client.isConnected()) {
        client.disconnectForcibly(0, LEAVE_MILLIS, false);
      }
      client.close(true);
      return null;
    } catch (MqttException e) {
      return e;
    }
  }

  /** What the client tells; nothing in it may throw, that would end the client's own thread. */
  abstract static class Heard implements MqttCallback {
    /** The link is lost. */
    abstract void lost(String what, @Nullable MqttException why);

    @Override
    public void messageArrived(String topic, MqttMessage message) {}

    @Override
    public void disconnected(@Nullable MqttDisconnectResponse response) {
      lost("the broker is gone: ", response == null ? null : response.getException());
    }

    @Override
    public void mqttErrorOccurred(@Nullable MqttException exception) {
      lost("the link failed: ", exception);
    }

    @Override
    public void deliveryComplete(IMqttToken token) {}

    @Override
    public void connectComplete(boolean reconnect, String serverUri) {}

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {}
  }
}
