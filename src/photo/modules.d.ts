/** What is used of decoders that come without types of their own. */
declare module 'lcms-wasm/dist/lcms.min.js' {
  export function instantiate(options: { readonly wasmBinary: Uint8Array }): Promise<{
    cmsOpenProfileFromMem(bytes: Uint8Array, length: number): number;
    cmsCreate_sRGBProfile(): number;
    cmsGetColorSpaceASCII(profile: number): string | null;
    cmsCreateTransform(
      from: number,
      fromFormat: number,
      to: number,
      toFormat: number,
      intent: number,
      flags: number,
    ): number;
    cmsDoTransform(transform: number, pixels: Uint16Array, count: number): Uint16Array;
    cmsDeleteTransform(transform: number): void;
    cmsCloseProfile(profile: number): void;
  }>;
  export const TYPE_RGB_16: number;
  export const TYPE_GRAY_16: number;
  export const INTENT_RELATIVE_COLORIMETRIC: number;
  export const cmsFLAGS_NOOPTIMIZE: number;
}

declare module 'libheif-js/libheif-wasm/libheif.js' {
  interface Handle {
    readonly $$: object;
  }
  type Decoded =
    | {
        readonly image: object;
        readonly channels: readonly {
          readonly stride: number;
          readonly data: Uint8Array;
          readonly width: number;
          readonly height: number;
          readonly bits_per_pixel: number;
        }[];
      }
    | { readonly code: object; readonly message: string };
  export interface Heif {
    readonly heif_error_code: { readonly heif_error_Ok: object };
    readonly heif_colorspace: { readonly heif_colorspace_RGB: object };
    readonly heif_chroma: { readonly heif_chroma_interleaved_RRGGBB_LE: object };
    heif_context_alloc(): object;
    heif_context_free(context: object): void;
    heif_context_read_from_memory(context: object, bytes: Uint8Array): { readonly code: object };
    heif_js_context_get_primary_image_handle(
      context: object,
    ): Handle | { readonly code: object; readonly message: string };
    heif_image_handle_get_width(handle: Handle): number;
    heif_image_handle_get_height(handle: Handle): number;
    heif_image_handle_release(handle: Handle): void;
    heif_js_decode_image2(
      handle: Handle,
      colorspace: object,
      chroma: object,
    ): Decoded | Promise<Decoded>;
    heif_image_release(image: object): void;
  }
  export default function libheif(options: {
    readonly wasmBinary: Uint8Array;
    readonly print: (line: string) => void;
    readonly printErr: (line: string) => void;
  }): Heif;
}

declare module 'libraw-wasm/dist/libraw.js' {
  export interface Raw {
    open(bytes: Uint8Array, settings: object): unknown;
    metadata(whole: boolean): unknown;
    imageData(): unknown;
    delete?(): void;
  }
  export default function libraw(options: {
    readonly wasmBinary: Uint8Array;
    readonly print: (line: string) => void;
    readonly printErr: (line: string) => void;
  }): Promise<{ readonly LibRaw: new () => Raw }>;
}

// Its own declarations would bring those of Node to where there is no Node.
declare module 'exifreader/src/exif-reader.js' {
  export interface ExifTag {
    readonly value: unknown;
  }
  export function loadView(
    view: DataView,
    options: {
      readonly expanded: true;
      readonly includeTags: { readonly exif: readonly number[] };
    },
  ): {
    readonly exif?: {
      readonly ExposureTime?: ExifTag;
      readonly FNumber?: ExifTag;
      readonly ISOSpeedRatings?: ExifTag;
      readonly Flash?: ExifTag;
    };
  };
}
