package kitproof.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.MappedByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.ReadableByteChannel;
import java.nio.channels.WritableByteChannel;

/** A disk with so much room left, whose forcing and cutting can fail too. */
final class FailingChannel extends FileChannel {
  private final FileChannel real;
  long room = Long.MAX_VALUE;
  boolean forceFails;
  boolean truncateFails;

  FailingChannel(FileChannel real) {
    this.real = real;
  }

  @Override
  public int write(ByteBuffer bytes, long position) throws IOException {
    if (room == 0) {
      throw new IOException("No space left on device");
    }
    ByteBuffer fits = bytes.duplicate();
    fits.limit(bytes.position() + (int) Math.min(bytes.remaining(), room));
    int written = real.write(fits, position);
    bytes.position(bytes.position() + written);
    room -= written;
    return written;
  }

  @Override
  public void force(boolean metaData) throws IOException {
    if (forceFails) {
      throw new IOException("Input/output error");
    }
    real.force(metaData);
  }

  @Override
  public FileChannel truncate(long size) throws IOException {
    if (truncateFails) {
      throw new IOException("Input/output error");
    }
    real.truncate(size);
    return this;
  }

  @Override
  protected void implCloseChannel() throws IOException {
    real.close();
  }

  private static UnsupportedOperationException notUsed() {
    return new UnsupportedOperationException("the journal does not do this");
  }

  @Override
  public int read(ByteBuffer dst) {
    throw notUsed();
  }

  @Override
  public long read(ByteBuffer[] dsts, int offset, int length) {
    throw notUsed();
  }

  @Override
  public int write(ByteBuffer src) {
    throw notUsed();
  }

  @Override
  public long write(ByteBuffer[] srcs, int offset, int length) {
    throw notUsed();
  }

  @Override
  public long position() {
    throw notUsed();
  }

  @Override
  public FileChannel position(long newPosition) {
    throw notUsed();
  }

  @Override
  public long size() {
    throw notUsed();
  }

  @Override
  public long transferTo(long position, long count, WritableByteChannel target) {
    throw notUsed();
  }

  @Override
  public long transferFrom(ReadableByteChannel src, long position, long count) {
    throw notUsed();
  }

  @Override
  public int read(ByteBuffer dst, long position) {
    throw notUsed();
  }

  @Override
  public MappedByteBuffer map(MapMode mode, long position, long size) {
    throw notUsed();
  }

  @Override
  public FileLock lock(long position, long size, boolean shared) {
    throw notUsed();
  }

  @Override
  public FileLock tryLock(long position, long size, boolean shared) {
    throw notUsed();
  }
}
