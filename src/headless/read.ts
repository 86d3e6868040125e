/**
 * npm run --silent read -- PHOTO --regions FILE     one photograph
 * npm run --silent read -- FOLDER --regions FILE    several, or all of a folder: an answer a line
 * npm run --silent read -- --stdin                  one JSON request a line, one JSON answer a line
 */
import { read } from '../reading/read.ts';
import { DEFAULT_SETTINGS } from '../reading/settings.ts';
import {
  answerLines,
  BadInput,
  commandLine,
  naming,
  parseJson,
  print,
  readText,
  run,
} from './lines.ts';
import { answerMany, isFolder, photosIn } from './many-photos.ts';
import { nodeOpenCv } from './opencv.ts';
import { loadPhoto } from './photo.ts';
import { loadProfile } from './profile-file.ts';
import { readAnswer } from './read-answer.ts';
import { checkInPicture, parseReadRequest, type ReadRequest } from './read-request.ts';

const USAGE = 'usage: read PHOTO or FOLDER --regions FILE, or read --stdin';

async function answer(request: ReadRequest): Promise<object> {
  const { picture, bits, notes } = await loadPhoto(request.photo);
  checkInPicture(request, picture.width, picture.height);
  const profile = request.profile === undefined ? undefined : await loadProfile(request.profile);
  const result = read(nodeOpenCv(), picture, request.regions, {
    ...DEFAULT_SETTINGS,
    tileColour: request.tileColour,
    ...(profile ? { profile } : {}),
  });
  const unused = request.unused.map((field) => `“${field}” is no field of a request: not used.`);
  return readAnswer(result, {
    bits,
    notes: [...notes, ...unused],
    light: picture.light ?? 'developed',
  });
}

await run(async () => {
  const { values, positionals } = commandLine(
    {
      allowPositionals: true,
      options: { stdin: { type: 'boolean' }, regions: { type: 'string' } },
    },
    USAGE,
  );
  const photo = positionals[0];
  if (values.stdin) {
    if (photo !== undefined || values.regions !== undefined) throw new BadInput(USAGE);
    await answerLines((given) => answer(parseReadRequest(given)));
    return;
  }
  if (photo === undefined) throw new BadInput(USAGE);
  if (values.regions === undefined) {
    throw new BadInput(`${photo}: say where glaze and dab are with --regions FILE`);
  }
  const { regions: file } = values;
  const text = await readText(file);
  const regions = await naming(file, () => parseJson(text));
  const answerOf = async (path: string) =>
    await answer(await naming(file, () => parseReadRequest(asRequest(path, regions))));
  if (positionals.length === 1 && !(await isFolder(photo))) {
    print(await answerOf(photo));
    return;
  }
  // What is wrong with the regions is said once, and not for every photograph.
  await naming(file, () => parseReadRequest(asRequest(photo, regions)));
  await answerMany(await photosIn(positionals), answerOf);
});

/** The file may hold a whole request or its regions alone; the photograph named counts. */
function asRequest(photo: string, given: unknown): unknown {
  const whole = typeof given === 'object' && given !== null && 'regions' in given;
  return whole ? { ...given, photo } : { photo, regions: given };
}
