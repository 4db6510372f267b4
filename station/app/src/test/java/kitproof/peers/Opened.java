package kitproof.peers;

import java.util.ArrayList;
import java.util.List;

/** What a test has opened, closed in reverse order. */
final class Opened implements AutoCloseable {
  private final List<AutoCloseable> open = new ArrayList<>();

  <T extends AutoCloseable> T add(T resource) {
    open.add(resource);
    return resource;
  }

  @Override
  public void close() throws Exception {
    for (int i = open.size() - 1; i >= 0; i--) {
      open.get(i).close();
    }
  }
}
