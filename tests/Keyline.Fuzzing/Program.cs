using System.Diagnostics;
using System.Globalization;
using Keyline;
using Keyline.Fuzzing;

// Damages small sound files of every kind, seed by seed, and gives them to the readers. Each must be read, or refused with an
// error of the library's own family, within five seconds of the processor's time and with no more memory than stated here.
// With the word "faults", faults made on purpose in output folders instead, --count N of them.
// With --deep, texts are damaged by what they are made of too, and what lies behind the readers has its turn.
//   --files N or --seconds S (default 60 seconds), --seed K (default 1), --from N (default 0, the first file of that seed), --only KIND (default all kinds)
const int mostSeconds = 5;

// On the clock, however busy the machine is: whoever waits for ever takes no time of the processor.
const int mostSecondsOfWaiting = 120;

// What a reader may allocate: whole files and their tags a few times over, what deflate can unpack (1100 to 1), and the grids
// of the most cells it was told to make, before and after resampling.
const long mostBytesAtLeast = 64L << 20;
const long mostBytesPerByte = 2500;

// What lies behind the readers may be given lines of 200 km, and takes notes of every metre of some twenty of them.
const long mostBytesBehind = 4L << 30;

long Number(string flag, long otherwise) => Array.IndexOf(args, flag) is >= 0 and int at && at + 1 < args.Length ? long.Parse(args[at + 1], CultureInfo.InvariantCulture) : otherwise;
long files = Number("--files", 0);
long seconds = Number("--seconds", files > 0 ? long.MaxValue / TimeSpan.TicksPerSecond : 60);
ulong seed = (ulong)Number("--seed", 1);
long first = Number("--from", 0);

if (args.Contains("faults"))
{
    (string said, bool holds) = Faults.Run(Number("--count", 1000), seed);
    Console.WriteLine(said);
    return holds ? 0 : 1;
}

string? only = Array.IndexOf(args, "--only") is >= 0 and int flag && flag + 1 < args.Length ? args[flag + 1] : null;

// By what texts are made of too, and to what lies behind the readers.
bool deep = args.Contains("--deep");
Kind[] kinds = [.. Corpus.Kinds.Where(k => only is null ? deep || !k.IsBehind : k.Name == only)];

string doing = "";
byte[] input = [];
long since = Stopwatch.GetTimestamp(), usedBefore = 0;
Thread watch = new(() =>
{
    while (true)
    {
        Thread.Sleep(500);
        double clocked = Stopwatch.GetElapsedTime(Volatile.Read(ref since)).TotalSeconds;
        if (clocked > mostSecondsOfWaiting || (clocked > mostSeconds && TimeSpan.FromTicks(Environment.CpuUsage.TotalTime.Ticks - Volatile.Read(ref usedBefore)).TotalSeconds > mostSeconds))
        {
            Fail("took more than five seconds");
        }
    }
}) { IsBackground = true };
watch.Start();

Stopwatch clock = Stopwatch.StartNew();
long done = first, read = 0, worst = 0;
double slowest = 0;
Dictionary<string, long> counts = [];
for (; (files == 0 || done - first < files) && clock.Elapsed.TotalSeconds < seconds; done++)
{
    Dice dice = new((seed << 32) + (ulong)done);
    Kind kind = kinds[dice.Below(kinds.Length)];
    int which = dice.Below(kind.Sound.Length);

    // Texts are damaged by what they are made of two times in three, else byte by byte.
    input = !kind.Name.StartsWith("GeoTIFF", StringComparison.Ordinal) && deep && dice.Below(3) > 0 ? Grammar.Of(kind.Sound[which], dice) : Mutation.Of(kind.Sound, which, dice);
    doing = string.Create(CultureInfo.InvariantCulture, $"{kind.Name}, seed {seed}, file {done}");
    counts[kind.Name] = counts.GetValueOrDefault(kind.Name) + 1;
    long before = GC.GetTotalAllocatedBytes();
    Volatile.Write(ref usedBefore, Environment.CpuUsage.TotalTime.Ticks);
    Volatile.Write(ref since, Stopwatch.GetTimestamp());
    try
    {
        kind.Read(new MemoryStream(input));
        read++;
    }
    catch (KeylineException)
    {
        // Refused, as it should be.
    }
    catch (Exception e)
    {
        Fail($"threw {e}");
    }

    slowest = Math.Max(slowest, Stopwatch.GetElapsedTime(since).TotalSeconds);
    long took = GC.GetTotalAllocatedBytes() - before;
    worst = Math.Max(worst, took);
    if (took > mostBytesAtLeast + (kind.IsBehind ? mostBytesBehind : 0) + (mostBytesPerByte * input.Length))
    {
        Fail(string.Create(CultureInfo.InvariantCulture, $"allocated {took} bytes for {input.Length}"));
    }
}

Console.WriteLine(string.Create(
    CultureInfo.InvariantCulture,
    $"{done - first} damaged files in {clock.Elapsed.TotalSeconds:0} s: {read} read, {done - first - read} refused, none otherwise; slowest {1000 * slowest:0} ms, most memory {worst / 1e6:0.0} MB ({string.Join(", ", counts.OrderBy(c => c.Key, StringComparer.Ordinal).Select(c => $"{c.Value} {c.Key}"))})"));
return 0;

void Fail(string what)
{
    string path = Path.Combine(Path.GetTempPath(), "keyline-fuzz-input");
    File.WriteAllBytes(path, input);
    Console.WriteLine($"{doing}: {what}; the file is {path}");
    Environment.Exit(1);
}

/// <summary>Stands in for the test framework in the sample files shared with the tests.</summary>
internal static class Assert
{
    public static void True(bool holds, string what = "A sample file could not be made.")
    {
        if (!holds)
        {
            throw new InvalidOperationException(what);
        }
    }
}
