/**
 * The reading worker: a reading takes longer than a frame, and the bench worker must not miss frames
 * over it. Started by the bench worker, and ends with it.
 */
import { expose, transfer } from 'comlink';
import { readBlendMap, type BlendMapResult } from '../src/reading/blend-map.ts';
import { readChart } from '../src/reading/profile/chart-profile.ts';
import { read } from '../src/reading/read.ts';
import { findLitTile } from '../src/reading/reference.ts';
import { findTile } from '../src/reading/tile-finder.ts';
import type { EncodedPicture } from '../src/reading/types.ts';
import { openCv } from './opencv-start.ts';
import type { ReadingWorkerApi } from './reading-api.ts';
import { withOpenCv } from './with-opencv.ts';

let opened: EncodedPicture | undefined;

function photograph(): EncodedPicture {
  if (!opened) throw new Error('no photograph was opened');
  return opened;
}

/** A map is large: it is handed over, not copied. */
const handedOver = (map: BlendMapResult): BlendMapResult =>
  map.ok ? transfer(map, [map.deltaE00.buffer, map.inArea.buffer]) : map;

const api = {
  async start() {
    await openCv();
  },
  read(picture, regions, settings) {
    return withOpenCv((cv) => read(cv, picture, regions, settings));
  },
  find(picture, regions) {
    return withOpenCv((cv) => findLitTile(cv, picture, regions));
  },
  open(picture) {
    opened = picture;
    return Promise.resolve();
  },
  readOpened(regions, settings) {
    return withOpenCv((cv) => read(cv, photograph(), regions, settings));
  },
  map(picture, request, settings) {
    return withOpenCv((cv) => handedOver(readBlendMap(cv, picture, request, settings)));
  },
  mapOpened(request, settings) {
    return withOpenCv((cv) => handedOver(readBlendMap(cv, photograph(), request, settings)));
  },
  findTile() {
    return withOpenCv((cv) => findTile(cv, photograph()));
  },
  readChart(reference, corners) {
    return withOpenCv((cv) => readChart(cv, photograph(), reference, corners));
  },
} satisfies ReadingWorkerApi;

expose(api);
