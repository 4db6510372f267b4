package kitproof.store;

import java.sql.SQLException;
import org.jspecify.annotations.Nullable;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;

/** The index cannot be used; the records are as they were. */
public final class IndexException extends Exception {
  private static final long serialVersionUID = 1L;

  IndexException(String message, @Nullable Throwable cause) {
    super(message, cause);
  }

  /** In a sentence of ours where the database's own words tell a person little. */
  static IndexException told(IndexPlace place, Throwable e) {
    return new IndexException(place + " cannot be used: " + words(e), e);
  }

  /** Whether nothing is wrong with it but that somebody else is at it. */
  boolean isLocked() {
    return root(this) instanceof SQLiteException sqlite
        && plain(sqlite.getResultCode()) == SQLiteErrorCode.SQLITE_BUSY;
  }

  /** Whether it may go better another time: two writers in each other's way, or a key twice. */
  boolean isPassing() {
    // class 40, deadlock or serialization failure: PostgreSQL manual, appendix A
    return isTwice()
        || (root(this) instanceof SQLException sql
            && String.valueOf(sql.getSQLState()).startsWith("40"));
  }

  /** Whether a key is there already. */
  boolean isTwice() {
    Throwable root = root(this);
    return root instanceof SQLiteException sqlite
        ? plain(sqlite.getResultCode()) == SQLiteErrorCode.SQLITE_CONSTRAINT
        : root instanceof SQLException sql && "23505".equals(sql.getSQLState());
  }

  private static SQLiteErrorCode plain(SQLiteErrorCode code) {
    return SQLiteErrorCode.getErrorCode(code.code & 0xff);
  }

  private static Throwable root(Throwable e) {
    Throwable cause = e;
    while (!(cause instanceof SQLException) && cause.getCause() != null) {
      cause = cause.getCause();
    }
    return cause;
  }

  private static String words(Throwable e) {
    Throwable cause = root(e);
    String own = String.valueOf(cause.getMessage()).strip().replaceAll("\\s*\n\\s*", "; ");
    if (cause instanceof SQLiteException sqlite) {
      return sqlite(sqlite.getResultCode(), own);
    }
    if (cause instanceof SQLException sql && sql.getSQLState() != null) {
      return postgres(sql.getSQLState(), own);
    }
    return own;
  }

  private static String sqlite(SQLiteErrorCode code, String own) {
    return switch (plain(code)) {
      case SQLITE_BUSY, SQLITE_LOCKED -> "another program is writing to it (" + own + ")";
      case SQLITE_FULL -> "the disk is full (" + own + ")";
      case SQLITE_CORRUPT, SQLITE_NOTADB -> "it is damaged (" + own + ")";
      default -> own;
    };
  }

  /** By the class of the SQL state, PostgreSQL manual, appendix A. */
  private static String postgres(String state, String own) {
    if (state.startsWith("08") || state.startsWith("57P")) {
      return "PostgreSQL cannot be reached (" + own + ")";
    }
    if (state.startsWith("28")) {
      return "user or password refused; set "
          + IndexLogin.USER
          + " and "
          + IndexLogin.PASSWORD
          + " ("
          + own
          + ")";
    }
    if (state.equals("3D000")) {
      return "there is no such database; its administrator makes it once (" + own + ")";
    }
    if (state.equals("53100")) {
      return "the server's disk is full (" + own + ")";
    }
    return own;
  }
}
