package kitproof.plugin;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.jar.Attributes;
import java.util.jar.JarOutputStream;
import java.util.jar.Manifest;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import javax.tools.JavaCompiler;
import javax.tools.ToolProvider;

/** A driver plugin as somebody else would make it: compiled from source, packed into a jar. */
public final class PluginJar {
  private final Map<String, byte[]> entries = new LinkedHashMap<>();
  private String api = "1";

  private PluginJar() {}

  /** With the classes of one source file that begins with its package. */
  public static PluginJar compiled(String className, String source) throws IOException {
    Path folder = Files.createTempDirectory("plugin");
    Path file = folder.resolve(className.replaceFirst(".*\\.", "") + ".java");
    Files.writeString(file, source);
    Path classes = Files.createDirectory(folder.resolve("classes"));
    JavaCompiler compiler = ToolProvider.getSystemJavaCompiler();
    int result =
        compiler.run(
            null,
            null,
            null,
            "-proc:none",
            "-Xlint:all",
            "-Werror",
            "--release",
            "17",
            "-classpath",
            System.getProperty("java.class.path"),
            "-d",
            classes.toString(),
            file.toString());
    assertThat(result).as("the compiler takes " + className).isZero();
    PluginJar jar = new PluginJar();
    List<Path> found = new ArrayList<>();
    try (Stream<Path> all = Files.walk(classes)) {
      all.filter(Files::isRegularFile).forEach(found::add);
    }
    for (Path one : found) {
      String name = classes.relativize(one).toString().replace('\\', '/');
      jar.entries.put(name, Files.readAllBytes(one));
    }
    return jar.services(className);
  }

  /** With what its services file says. */
  public PluginJar services(String text) {
    entries.put(
        "META-INF/services/kitproof.driver.DriverProvider", text.getBytes(StandardCharsets.UTF_8));
    return this;
  }

  PluginJar without(String entry) {
    assertThat(entries.remove(entry)).isNotNull();
    return this;
  }

  /** With another contract version in its manifest; empty for none. */
  PluginJar api(String version) {
    api = version;
    return this;
  }

  /** Writes the jar. */
  public void write(Path file) throws IOException {
    Manifest manifest = new Manifest();
    manifest.getMainAttributes().put(Attributes.Name.MANIFEST_VERSION, "1.0");
    if (!api.isEmpty()) {
      manifest.getMainAttributes().putValue("Driver-Api", api);
    }
    try (OutputStream out = Files.newOutputStream(file);
        JarOutputStream jar = new JarOutputStream(out, manifest)) {
      for (Map.Entry<String, byte[]> entry : entries.entrySet()) {
        jar.putNextEntry(new ZipEntry(entry.getKey()));
        jar.write(entry.getValue());
        jar.closeEntry();
      }
    }
  }
}
