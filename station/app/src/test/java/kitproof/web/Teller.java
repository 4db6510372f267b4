package kitproof.web;

import java.nio.charset.StandardCharsets;
import java.util.List;
import kitproof.mqtt.Message;
import org.eclipse.paho.mqttv5.client.MqttClient;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;

/** Somebody who tells a broker messages, well meant or not. */
final class Teller implements AutoCloseable {
  private final MqttClient client;

  Teller(int port) throws MqttException {
    client = new MqttClient("tcp://127.0.0.1:" + port, "teller", new MemoryPersistence());
    client.connect();
  }

  void tell(List<Message> messages) throws MqttException {
    for (Message message : messages) {
      tell(message.topic(), message.payload().getBytes(StandardCharsets.UTF_8), message.retained());
    }
  }

  void tell(String topic, byte[] payload, boolean retained) throws MqttException {
    MqttMessage message = new MqttMessage(payload);
    message.setQos(1);
    message.setRetained(retained);
    client.publish(topic, message);
  }

  @Override
  public void close() throws MqttException {
    if (client.isConnected()) {
      client.disconnect();
    }
    client.close();
  }
}
