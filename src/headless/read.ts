/**
 * npm run --silent read -- PHOTO [--regions FILE]   one photograph
 * npm run --silent read -- --stdin                  one JSON request a line, one JSON answer a line
 */
import { readFile } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import { read } from '../reading/read.ts';
import { DEFAULT_SETTINGS } from '../reading/settings.ts';
import { answerLines, BadInput, parseJson, print, run } from './lines.ts';
import { nodeOpenCv } from './opencv.ts';
import { loadPhoto } from './photo.ts';
import { readAnswer } from './read-answer.ts';
import { checkInPicture, parseReadRequest } from './read-request.ts';

const USAGE = 'usage: read PHOTO --regions FILE, or read --stdin';

async function answer(given: unknown, where: string): Promise<unknown> {
  const request = parseReadRequest(given, where);
  const picture = await loadPhoto(request.photo);
  checkInPicture(request, picture.width, picture.height);
  return readAnswer(
    read(nodeOpenCv(), picture, request.regions, {
      ...DEFAULT_SETTINGS,
      tileColour: request.tileColour,
    }),
  );
}

await run(async () => {
  const { values, positionals } = arguments_();
  if (values.stdin) {
    await answerLines(answer);
    return;
  }
  const photo = positionals[0];
  if (photo === undefined || positionals.length > 1) throw new BadInput(USAGE);
  if (values.regions === undefined) {
    throw new BadInput(`${photo}: say where glaze and dab are with --regions FILE`);
  }
  let text: string;
  try {
    text = await readFile(values.regions, 'utf8');
  } catch {
    throw new BadInput(`${values.regions}: there is no such file, or it cannot be opened`);
  }
  const given = parseJson(text, values.regions);
  const regions =
    typeof given === 'object' && given !== null && 'regions' in given ? given.regions : given;
  print(await answer({ photo, regions }, values.regions));
});

function arguments_() {
  try {
    return parseArgs({
      allowPositionals: true,
      options: { stdin: { type: 'boolean' }, regions: { type: 'string' } },
    });
  } catch (fault) {
    throw new BadInput(`${fault instanceof Error ? fault.message : ''} — ${USAGE}`);
  }
}
