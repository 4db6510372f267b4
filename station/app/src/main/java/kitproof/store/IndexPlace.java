package kitproof.store;

import java.nio.file.Path;
import javax.sql.DataSource;

/** Where an index is kept: in a file beside its records, or in a PostgreSQL that stations share. */
public sealed interface IndexPlace permits SqlitePlace, PostgresPlace {
  /** The usual place: a file in the folder of records. */
  static IndexPlace beside(Path records) {
    return new SqlitePlace(Index.file(records));
  }

  /** Connections to it. */
  DataSource source();

  /** As people call it, never with a password: "the index records/index.sqlite". */
  @Override
  String toString();
}
