package kitproof.mqtt;

import java.io.IOException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import org.apache.activemq.artemis.api.core.TransportConfiguration;
import org.apache.activemq.artemis.core.config.Configuration;
import org.apache.activemq.artemis.core.config.impl.ConfigurationImpl;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyAcceptor;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyAcceptorFactory;
import org.apache.activemq.artemis.core.server.ActiveMQServer;
import org.apache.activemq.artemis.core.server.ActiveMQServers;
import org.apache.activemq.artemis.core.server.JournalType;
import org.apache.activemq.artemis.core.settings.impl.AddressFullMessagePolicy;
import org.apache.activemq.artemis.core.settings.impl.AddressSettings;
import org.jspecify.annotations.Nullable;
import org.slf4j.LoggerFactory;

/**
 * A broker inside this program, on this machine's loopback only, for shops that have none.
 *
 * <p>With a folder it keeps retained messages and what subscribers with a session have not fetched
 * over a restart; without one it forgets them.
 */
public final class EmbeddedBroker implements AutoCloseable {
  private static final String LOOPBACK = "127.0.0.1";
  private static final String ACCEPTOR = "mqtt";
  private static final int MEBIBYTE = 1024 * 1024;

  private final ActiveMQServer server;
  private final int port;

  private EmbeddedBroker(ActiveMQServer server, int port) {
    this.server = server;
    this.port = port;
  }

  /**
   * Starts a broker.
   *
   * @param data where it keeps its messages, or null to keep them in memory only
   * @param port to listen on, or 0 for a free one
   * @throws IOException if it does not start, for example because the port is taken or another
   *     program has the folder
   */
  public static EmbeddedBroker start(@Nullable Path data, int port) throws IOException {
    ActiveMQServer server =
        ActiveMQServers.newActiveMQServer(configuration(data, port), null, data != null);
    try {
      server.start();
      NettyAcceptor acceptor = (NettyAcceptor) server.getRemotingService().getAcceptor(ACCEPTOR);
      if (!server.isActive() || acceptor == null || !acceptor.isStarted()) {
        throw new IOException("it is not listening");
      }
      return new EmbeddedBroker(server, acceptor.getActualPort());
    } catch (Exception e) { // the library declares no less
      stop(server);
      throw new IOException(
          "the embedded broker did not start on port " + port + ": " + PahoReasons.of(e), e);
    }
  }

  private static Configuration configuration(@Nullable Path data, int port) {
    Map<String, Object> acceptor = new HashMap<>();
    acceptor.put("host", LOOPBACK);
    acceptor.put("port", port);
    acceptor.put("protocols", "MQTT");
    acceptor.put("useEpoll", false);
    acceptor.put("remotingThreads", 2);
    ConfigurationImpl configuration = new ConfigurationImpl();
    configuration
        .setName("kitproof")
        .setPersistenceEnabled(data != null)
        .setSecurityEnabled(false)
        .setJMXManagementEnabled(false)
        .setMessageCounterEnabled(false)
        .setCriticalAnalyzer(false)
        .setGracefulShutdownEnabled(false)
        .setThreadPoolMaxSize(8)
        .setScheduledThreadPoolMaxSize(2)
        .setGlobalMaxSize(24L * MEBIBYTE)
        .setMaxDiskUsage(-1)
        .setAddressSettings(
            Map.of(
                "#",
                new AddressSettings()
                    .setAddressFullMessagePolicy(
                        data == null
                            ? AddressFullMessagePolicy.BLOCK
                            : AddressFullMessagePolicy.PAGE)
                    .setMaxDeliveryAttempts(-1)))
        .setAcceptorConfigurations(
            Set.of(
                new TransportConfiguration(
                    NettyAcceptorFactory.class.getName(), acceptor, ACCEPTOR)));
    if (data != null) {
      configuration
          .setBindingsDirectory(data.resolve("bindings").toString())
          .setJournalDirectory(data.resolve("journal").toString())
          .setPagingDirectory(data.resolve("paging").toString())
          .setLargeMessagesDirectory(data.resolve("large").toString())
          .setNodeManagerLockDirectory(data.resolve("lock").toString())
          .setJournalLockAcquisitionTimeout(1000)
          .setJournalType(JournalType.NIO)
          .setJournalFileSize(MEBIBYTE)
          .setJournalMinFiles(2)
          .setJournalPoolFiles(4)
          .setJournalBufferSize_NIO(128 * 1024);
    }
    return configuration;
  }

  /** Where it listens. */
  public BrokerAddress address() {
    return new BrokerAddress(false, LOOPBACK, port);
  }

  @Override
  public void close() {
    stop(server);
  }

  private static void stop(ActiveMQServer server) {
    try {
      server.stop();
    } catch (Exception e) { // the library declares no less
      LoggerFactory.getLogger(EmbeddedBroker.class).warn("the embedded broker did not stop", e);
    }
  }
}
