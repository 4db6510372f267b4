package kitproof.plan;

import kitproof.document.SchemaMaker;

/** The JSON Schemas of plan and bench files, by which editors complete and check them. */
public final class FileSchemas {
  private FileSchemas() {}

  /** Of plan files, with the keys of every procedure there is. */
  public static String plan() {
    return new SchemaMaker(PlanReader.VARIANTS).make(PlanDocument.class, "Plan");
  }

  /** Of bench files; a driver's own settings are left open, as drivers are plugins. */
  public static String bench() {
    return new SchemaMaker().make(BenchDocument.class, "Bench");
  }
}
