/** The photo worker: decodes photographs, each kind by code that is fetched when the first of it comes. */
import { expose, transfer } from 'comlink';
import lcmsUrl from 'lcms-wasm/dist/lcms.wasm?url';
import heifUrl from 'libheif-js/libheif-wasm/libheif.wasm?url';
import librawUrl from 'libraw-wasm/dist/libraw.wasm?url';
import { photoDecoder } from '../src/photo/decode.ts';
import { photoHeader } from '../src/photo/header.ts';
import type { DecoderCode } from '../src/photo/libraries.ts';
import { likenessOf } from './likeness.ts';
import type { PhotoWorkerApi } from './photo-api.ts';

const fetched = (url: string) => async () => {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`a decoder could not be loaded (${response.status})`);
  return new Uint8Array(await response.arrayBuffer());
};

const code: DecoderCode = {
  colour: fetched(lcmsUrl),
  heif: fetched(heifUrl),
  raw: fetched(librawUrl),
};

const decode = photoDecoder(code);

const api = {
  async decode(bytes) {
    const photo = await decode(bytes, photoHeader(bytes));
    if (!photo.ok) return photo;
    const likeness = await likenessOf(photo.picture);
    return transfer({ ...photo, likeness }, [photo.picture.rgba.buffer]);
  },
} satisfies PhotoWorkerApi;

expose(api);
