package kitproof.peer;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Map;

/** The folder a private sound server lives in, and the files it is told by. */
final class SoundServerFiles {
  private SoundServerFiles() {}

  static void write(Path folder, String card) throws IOException {
    for (String name : new String[] {"run", "state", "home"}) {
      Path made = Files.createDirectories(folder.resolve(name));
      // The server refuses a run folder that others may enter.
      Files.setPosixFilePermissions(made, PosixFilePermissions.fromString("rwx------"));
    }
    String socket = folder.resolve("run/native").toString();
    // Without norewinds the capture starts late and frames vanish.
    Files.writeString(
        folder.resolve("default.pa"),
        """
        load-module module-native-protocol-unix socket=%s auth-anonymous=1
        load-module module-null-sink sink_name=%s rate=48000 format=s32le channels=2 \
        channel_map=stereo norewinds=1
        set-default-sink %s
        set-default-source %s.monitor
        """
            .formatted(socket, card, card, card));
    Files.writeString(folder.resolve("daemon.conf"), "avoid-resampling = yes\nflat-volumes = no\n");
    Files.writeString(
        folder.resolve("asound.conf"),
        """
        </usr/share/alsa/alsa.conf>
        pcm.!default { type pulse server "unix:%s" }
        """
            .formatted(socket));
  }

  static Map<String, String> environment(Path folder) {
    return Map.of(
        "XDG_RUNTIME_DIR", folder.resolve("run").toString(),
        "PULSE_RUNTIME_PATH", folder.resolve("run").toString(),
        "PULSE_STATE_PATH", folder.resolve("state").toString(),
        "PULSE_CONFIG", folder.resolve("daemon.conf").toString(),
        "PULSE_SERVER", "unix:" + folder.resolve("run/native"),
        "HOME", folder.resolve("home").toString());
  }
}
