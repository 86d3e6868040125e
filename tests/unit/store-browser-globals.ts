/** What pouchdb-browser wants of a browser; imported before it. */
import 'fake-indexeddb/auto';

class BlobReader {
  result: ArrayBuffer | string | null = null;
  onloadend: ((event: { target: BlobReader }) => void) | null = null;
  readAsArrayBuffer(blob: Blob) {
    void blob.arrayBuffer().then((buffer) => {
      this.result = buffer;
      this.onloadend?.({ target: this });
    });
  }
  readAsBinaryString(blob: Blob) {
    void blob.arrayBuffer().then((buffer) => {
      this.result = Buffer.from(buffer).toString('latin1');
      this.onloadend?.({ target: this });
    });
  }
}
Object.assign(globalThis, {
  FileReader: BlobReader,
  self: globalThis,
  navigator: { userAgent: 'Node' },
});
