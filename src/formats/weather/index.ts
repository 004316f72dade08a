export { type WeatherReader, weatherReader } from './reader.ts';
export type {
  DailyFile,
  DailyValues,
  FilePlace,
  WeatherFile,
  WeatherFormat,
  WeatherReadOptions,
} from './types.ts';
