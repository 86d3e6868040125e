/**
 * The WebAssembly code of the decoders, handed in: a worker fetches it, Node reads it from disk. Each is
 * asked for only when a photograph needs it.
 */
export interface DecoderCode {
  /** LittleCMS (lcms-wasm). */
  colour(): Promise<Uint8Array>;
  /** libheif with its HEVC decoder (libheif-js). */
  heif(): Promise<Uint8Array>;
  /** LibRaw (libraw-wasm). */
  raw(): Promise<Uint8Array>;
}
