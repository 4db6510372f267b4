package kitproof.plugin;

import java.io.IOException;
import java.net.MalformedURLException;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.ServiceConfigurationError;
import java.util.ServiceLoader;
import java.util.jar.JarFile;
import java.util.jar.Manifest;
import java.util.stream.Stream;
import kitproof.driver.DriverApi;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import org.jspecify.annotations.Nullable;

/**
 * Finds driver plugins: first on the class path, then each jar of a folder in the order of its
 * names, each in a class loader of its own.
 *
 * <p>A jar that is broken, speaks another contract version or repeats an id is named and left out;
 * the others are not affected. The class loaders live as long as the drivers.
 */
public final class DriverLoader {
  private final Map<String, DriverProvider> byId = new LinkedHashMap<>();
  private final Map<String, String> origins = new LinkedHashMap<>();
  private final List<Drivers.Trouble> troubles = new ArrayList<>();

  private DriverLoader() {}

  /**
   * Finds all there are.
   *
   * @param folder the plugins folder; need not exist
   */
  public static Drivers load(Path folder) {
    DriverLoader loader = new DriverLoader();
    loader.take("class path", DriverLoader.class.getClassLoader(), false);
    loader.takeFolder(folder);
    return new Drivers(loader.byId, loader.origins, loader.troubles);
  }

  private void takeFolder(Path folder) {
    if (!Files.isDirectory(folder)) {
      return;
    }
    List<Path> jars;
    try (Stream<Path> files = Files.list(folder)) {
      jars = files.filter(file -> file.toString().endsWith(".jar")).sorted().toList();
    } catch (IOException e) {
      troubles.add(new Drivers.Trouble(folder.toString(), "cannot be listed: " + e.getMessage()));
      return;
    }
    for (Path jar : jars) {
      takeJar(jar);
    }
  }

  private void takeJar(Path jar) {
    String origin = String.valueOf(jar.getFileName());
    try {
      String refusal = refusal(jar);
      if (refusal.isEmpty()) {
        URL[] urls = {jar.toUri().toURL()};
        take(origin, new URLClassLoader(origin, urls, DriverLoader.class.getClassLoader()), true);
      } else {
        troubles.add(new Drivers.Trouble(origin, refusal));
      }
    } catch (MalformedURLException e) {
      troubles.add(new Drivers.Trouble(origin, "cannot be named as a URL: " + e.getMessage()));
    } catch (IOException e) {
      troubles.add(new Drivers.Trouble(origin, "is not a readable jar: " + e.getMessage()));
    }
  }

  private static String refusal(Path jar) throws IOException {
    try (JarFile file = new JarFile(jar.toFile())) {
      Manifest manifest = file.getManifest();
      String version =
          manifest == null ? null : manifest.getMainAttributes().getValue(DriverApi.ATTRIBUTE);
      if (version == null) {
        return "its manifest has no " + DriverApi.ATTRIBUTE + "; expected " + DriverApi.VERSION;
      }
      return version.equals(String.valueOf(DriverApi.VERSION))
          ? ""
          : "made for driver contract " + version + "; this station has " + DriverApi.VERSION;
    }
  }

  private void take(String origin, ClassLoader classes, boolean ownOnly) {
    int before = byId.size() + troubles.size();
    Iterator<ServiceLoader.Provider<DriverProvider>> providers =
        ServiceLoader.load(DriverProvider.class, classes).stream().iterator();
    while (true) {
      try {
        if (!providers.hasNext()) {
          break;
        }
        ServiceLoader.Provider<DriverProvider> provider = providers.next();
        // A jar's loader also sees the class path's drivers, which have been taken already.
        if (!ownOnly || provider.type().getClassLoader() == classes) {
          add(origin, provider.get());
        }
      } catch (ServiceConfigurationError | LinkageError | RuntimeException e) {
        troubles.add(new Drivers.Trouble(origin, rootOf(e)));
      }
    }
    if (ownOnly && byId.size() + troubles.size() == before) {
      troubles.add(
          new Drivers.Trouble(
              origin, "names no driver in META-INF/services/" + DriverProvider.class.getName()));
    }
  }

  private void add(String origin, DriverProvider provider) {
    String id = idOf(provider.describe());
    String other = origins.get(id);
    if (id.isBlank()) {
      troubles.add(new Drivers.Trouble(origin, "it does not say its id"));
    } else if (other != null) {
      troubles.add(
          new Drivers.Trouble(origin, "driver \"" + id + "\" is there already, from " + other));
    } else {
      byId.put(id, provider);
      origins.put(id, origin);
    }
  }

  /** Empty if there is none: what comes from a plugin need not keep the contract's promises. */
  private static String idOf(@Nullable DriverDescription description) {
    return description == null ? "" : Objects.requireNonNullElse(description.id(), "");
  }

  private static String rootOf(Throwable e) {
    Throwable root = e;
    while (root.getCause() != null) {
      root = root.getCause();
    }
    String detail = String.valueOf(e.getMessage());
    return root == e ? detail : detail + " (" + root + ")";
  }
}
