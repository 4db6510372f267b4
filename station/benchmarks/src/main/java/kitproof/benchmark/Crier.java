package kitproof.benchmark;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Semaphore;
import java.util.concurrent.atomic.AtomicInteger;
import kitproof.mqtt.Message;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;

/** Tells a broker messages, QoS 1, over some links that all stations share. */
final class Crier implements AutoCloseable {
  private static final int LINKS = 8;
  private static final int WINDOW = 500;

  private final List<MqttAsyncClient> links = new ArrayList<>();
  private final Semaphore window = new Semaphore(WINDOW);
  private final AtomicInteger told = new AtomicInteger();
  private final AtomicInteger refused = new AtomicInteger();

  Crier(int port) throws MqttException {
    for (int i = 0; i < LINKS; i++) {
      MqttAsyncClient link =
          new MqttAsyncClient("tcp://127.0.0.1:" + port, "crier-" + i, new MemoryPersistence());
      link.connect().waitForCompletion(10_000);
      links.add(link);
    }
  }

  /** Hands over; what one speaker says always goes the same way, so it stays in order. */
  void cry(String speaker, Message message) {
    cry(speaker, message.topic(), message.payload(), message.retained());
  }

  void cry(String speaker, String topic, String payload, boolean retained) {
    window.acquireUninterruptibly();
    try {
      links
          .get(Math.floorMod(speaker.hashCode(), LINKS))
          .publish(
              topic,
              payload.getBytes(StandardCharsets.UTF_8),
              1,
              retained,
              null,
              new MqttActionListener() {
                @Override
                public void onSuccess(IMqttToken token) {
                  told.incrementAndGet();
                  window.release();
                }

                @Override
                public void onFailure(IMqttToken token, Throwable cause) {
                  refused.incrementAndGet();
                  window.release();
                }
              });
    } catch (MqttException e) {
      window.release();
      throw new IllegalStateException("the broker takes no more", e);
    }
  }

  /** Waits until the broker has acknowledged all. */
  int settled() {
    window.acquireUninterruptibly(WINDOW);
    window.release(WINDOW);
    return told.get();
  }

  int refused() {
    return refused.get();
  }

  @Override
  public void close() throws MqttException {
    for (MqttAsyncClient link : links) {
      link.disconnect().waitForCompletion(5_000);
      link.close();
    }
  }
}
