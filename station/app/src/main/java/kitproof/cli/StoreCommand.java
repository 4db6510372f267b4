package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import kitproof.store.Finding;
import kitproof.store.Index;
import kitproof.store.IndexException;
import kitproof.store.IndexPlace;
import kitproof.store.Indexing;
import kitproof.store.Verification;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** All records together. */
@Command(
    name = "store",
    mixinStandardHelpOptions = true,
    description =
        "Looks after the folder of records. The JSON documents are the truth; the index beside them"
            + " can be made again at any time. Backup is copying the folder.",
    footer = {
      "",
      "Examples:",
      "  kitproof store verify --records /srv/records",
      "  kitproof store units --batch pilot",
      "  kitproof store rebuild",
      "  kitproof store rebuild --index postgresql://index.shop.example/kitproof"
    })
final class StoreCommand implements Runnable {
  @Spec private CommandSpec spec;

  @Override
  public void run() {
    throw new ParameterException(
        spec.commandLine(), "found no word after store; expected verify, rebuild or units");
  }

  @Command(
      name = "verify",
      mixinStandardHelpOptions = true,
      description =
          "Follows the chain of digests through all records and names each one that was altered, is"
              + " missing, or stands in another order than it was written in; changes nothing."
              + " Exit code 4 if there is one.")
  int verify(
      @Option(
              names = "--records",
              paramLabel = "DIR",
              defaultValue = "records",
              description = "Folder of records (default: ${DEFAULT-VALUE}).")
          Path records,
      @Option(names = "--json", description = "Print JSON for a program to read.") boolean json)
      throws IOException {
    require(records);
    Verification found;
    try (Counting counting = Counting.on(json ? null : Terminal.find(), "records")) {
      found = Verification.of(records, counting::looked);
    }
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> fields = new LinkedHashMap<>();
      fields.put("records", found.records());
      fields.put("chained", found.chained());
      fields.put("findings", found.findings().stream().map(StoreCommand::json).toList());
      fields.put("notes", found.notes());
      Printed.json(out, fields);
    } else {
      told(found.findings());
      found.notes().forEach(note -> out.println("note: " + note));
      int older = found.records() - found.chained();
      out.println(
          found.records()
              + (found.records() == 1 ? " record" : " records")
              + (older == 0 ? "" : " (" + older + " from before there was a chain)")
              + ": "
              + (found.findings().isEmpty()
                  ? "all as they were written"
                  : found.findings().size() + " not as they were written"));
      out.flush();
    }
    return found.findings().isEmpty() ? ExitCodes.GOOD : ExitCodes.STATION_ERROR;
  }

  @Command(
      name = "rebuild",
      mixinStandardHelpOptions = true,
      description =
          "Makes the index anew from the documents alone; in a PostgreSQL only what is of this"
              + " folder.")
  int rebuild(
      @Option(
              names = "--records",
              paramLabel = "DIR",
              defaultValue = "records",
              description = "Folder of records (default: ${DEFAULT-VALUE}).")
          Path records,
      @Mixin IndexOption index)
      throws IOException {
    require(records);
    IndexPlace place = index.place(spec.commandLine(), records);
    try (Counting counting = Counting.on(Terminal.find(), "records")) {
      Indexing done =
          Indexing.rebuild(
              records,
              place,
              (looked, of) -> {
                counting.looked(looked, of);
                return true;
              });
      counting.close();
      told(done.findings());
      spec.commandLine().getOut().println(done.taken() + " records in " + place);
      spec.commandLine().getOut().flush();
      return done.findings().isEmpty() ? ExitCodes.GOOD : ExitCodes.STATION_ERROR;
    } catch (IndexException e) {
      throw new IOException(e.getMessage(), e);
    }
  }

  @Command(
      name = "units",
      mixinStandardHelpOptions = true,
      description =
          "Lists the units with the number of their attempts, and the verdicts of the first and of"
              + " the last one. A run that ended in error is the station's and no attempt.")
  int units(
      @Option(
              names = "--records",
              paramLabel = "DIR",
              defaultValue = "records",
              description = "Folder of records (default: ${DEFAULT-VALUE}).")
          Path records,
      @Option(
              names = "--batch",
              paramLabel = "NAME",
              defaultValue = "",
              description = "Only units of this batch.")
          String batch,
      @Mixin IndexOption where,
      @Option(names = "--json", description = "Print JSON for a program to read.") boolean json)
      throws IOException {
    require(records);
    IndexPlace place = where.place(spec.commandLine(), records);
    List<Index.UnitOutcome> units;
    try (Index index = Index.open(records, place)) {
      told(Indexing.catchUp(records, index, (looked, of) -> true).findings());
      units = index.units(batch);
    } catch (IndexException e) {
      throw new IOException(
          e.getMessage() + "; \"kitproof store rebuild\" makes it anew from the documents", e);
    }
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Printed.json(out, Map.of("units", units.stream().map(StoreCommand::json).toList()));
      return ExitCodes.GOOD;
    }
    int widest = units.stream().mapToInt(u -> u.unit().length()).max().orElse(4);
    for (Index.UnitOutcome unit : units) {
      out.println(
          String.format(
                  Locale.ROOT,
                  "%-" + widest + "s  %2d %-9s first %-8s last %-8s %s",
                  unit.unit(),
                  unit.attempts(),
                  unit.attempts() == 1 ? "attempt" : "attempts",
                  unit.attempts() == 0 ? "-" : unit.first(),
                  unit.attempts() == 0 ? "-" : unit.last(),
                  unit.reason())
              .stripTrailing());
    }
    long first = units.stream().filter(u -> u.first().equals("pass")).count();
    long last = units.stream().filter(u -> u.last().equals("pass")).count();
    out.println(
        units.size()
            + (units.size() == 1 ? " unit: " : " units: ")
            + first
            + " passed at the first attempt, "
            + last
            + " at the last");
    out.flush();
    return ExitCodes.GOOD;
  }

  private void require(Path records) {
    if (!Files.isDirectory(records)) {
      throw new ParameterException(
          spec.commandLine(),
          "--records: found no folder " + records + "; expected a folder of records");
    }
  }

  private void told(List<Finding> findings) {
    PrintWriter errors = spec.commandLine().getErr();
    findings.forEach(errors::println);
    errors.flush();
  }

  private static Map<String, Object> json(Finding finding) {
    return Map.of("record", finding.record(), "found", finding.words());
  }

  private static Map<String, Object> json(Index.UnitOutcome unit) {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("product", unit.product());
    fields.put("serial", unit.unit());
    fields.put("batch", unit.batch());
    fields.put("attempts", unit.attempts());
    fields.put("first", unit.attempts() == 0 ? null : unit.first());
    fields.put("last", unit.attempts() == 0 ? null : unit.last());
    fields.put("reason", unit.reason());
    fields.put("tested", unit.tested().toString());
    return fields;
  }
}
