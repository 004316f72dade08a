/** Codes of ISO 4217 in use, without metals, funds and units of account (from memory; held against ICU by a test). */
const IN_USE = new Set(
  (
    'AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF ' +
    'CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG ' +
    'HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA ' +
    'MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD ' +
    'RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX ' +
    'USD UYU UZS VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG'
  ).split(' '),
);

/** Currencies whose smallest unit is not a hundredth (ISO 4217, from memory). */
// biome-ignore format: a table
const DIGITS: ReadonlyMap<string, number> = new Map([
  ['BIF', 0], ['CLP', 0], ['DJF', 0], ['GNF', 0], ['ISK', 0], ['JPY', 0], ['KMF', 0], ['KRW', 0], ['PYG', 0],
  ['RWF', 0], ['UGX', 0], ['VND', 0], ['VUV', 0], ['XAF', 0], ['XOF', 0], ['XPF', 0],
  ['BHD', 3], ['IQD', 3], ['JOD', 3], ['KWD', 3], ['LYD', 3], ['OMR', 3], ['TND', 3],
]);

/** Whether a code of three capitals names a currency that is in use. */
export const isCurrency = (code: string): boolean => IN_USE.has(code);

/** Decimal places of a currency: 2 unless the standard says otherwise. */
export const currencyDigits = (currency: string): number => DIGITS.get(currency) ?? 2;
