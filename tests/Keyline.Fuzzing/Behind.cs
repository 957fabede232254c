using System.IO.Compression;
using System.Text;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.Guidance;
using Keyline.SetOut;

namespace Keyline.Fuzzing;

/// <summary>What lies behind the readers: the writers and the reading back of what was read, stakes, packed task data, job files.</summary>
internal static class Behind
{
    /// <summary>A plan is read, made ready, written in every form, and read back.</summary>
    public static object Guidance(Stream stream)
    {
        WrittenPlan plan = PlanReader.Read(stream, "f");
        GuidanceSet set = GuidancePreparation.Prepare(plan.Lines, null, plan.Field, plan.Spacing);
        string folder = Directory.CreateTempSubdirectory("keyline-fuzz-").FullName;
        try
        {
            foreach (GuidanceFormat format in Enum.GetValues<GuidanceFormat>())
            {
                GuidanceFiles.Write(folder, format, set, plan.Crs);
                RoundTrip back = GuidanceVerification.ReadBack(folder, format, set, plan.Crs);
                foreach (string name in GuidanceFiles.NamesOf(format))
                {
                    File.Delete(Path.Combine(folder, name));
                }

                if (back.Missing.Count > 0 || !(back.FromPrepared < 0.01))
                {
                    throw new InvalidOperationException($"{format} reads back {back.Missing.Count} lines fewer, {back.FromPrepared} m off.");
                }
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }

        return plan;
    }

    /// <summary>A plan's lines are staked, written, and the table read again.</summary>
    public static object Stakes(Stream stream)
    {
        WrittenPlan plan = PlanReader.Read(stream, "f");
        List<StakedLine> staked = [.. plan.Lines.Take(20).Select(l => Staking.Along(l.Id, l.Line, new SetOutOptions(), null, null, plan.Field))];
        using MemoryStream table = new(), shapes = new(), points = new();
        StakeFiles.WriteTable(table, staked, plan.Crs, null);
        StakeFiles.WriteGeoJson(shapes, staked, plan.Crs, new PlanProvenance("0", [], []));
        StakeFiles.WriteGpx(points, staked, plan.Crs);
        points.Position = 0;
        return LevelReadings.Read(table, "f");
    }

    /// <summary>Task data in a zip.</summary>
    public static object Zipped(Stream stream)
    {
        using MemoryStream zipped = new();
        using (ZipArchive zip = new(zipped, ZipArchiveMode.Create, leaveOpen: true))
        {
            using Stream entry = zip.CreateEntry("TASKDATA/TASKDATA.XML").Open();
            stream.CopyTo(entry);
        }

        zipped.Position = 0;
        return TrackReader.Read(zipped, "f");
    }

    /// <summary>A job file, read as the program does.</summary>
    public static object Job(Stream stream)
    {
        string path = Path.Combine(Path.GetTempPath(), "keyline-fuzz-job-" + Environment.ProcessId);
        using (FileStream file = File.Create(path))
        {
            stream.CopyTo(file);
        }

        try
        {
            Arguments arguments = new();
            JobFile.AddTo(arguments, path);
            return arguments;
        }
        catch (UsageException e)
        {
            throw new GroundDataException(e.Message);
        }
    }

    /// <summary>A plan with a field, a guide and two lines.</summary>
    public static byte[] Plan(string ring) => Encoding.UTF8.GetBytes(
        "{\"type\":\"FeatureCollection\",\"keyline\":{\"crs\":{\"epsg\":32610},\"options\":{\"spacing_m\":3}},\"features\":["
        + "{\"type\":\"Feature\",\"properties\":{\"kind\":\"boundary\",\"name\":\"Top\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[" + ring + "]}},"
        + "{\"type\":\"Feature\",\"properties\":{\"kind\":\"guide-line\",\"id\":\"G1\"},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-121.999,36.001,5],[-121.998,36.001,5]]}},"
        + "{\"type\":\"Feature\",\"properties\":{\"kind\":\"rip-line\",\"id\":\"R1\",\"sequence\":1},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-121.999,36.001,5],[-121.9985,36.0011,5.2],[-121.998,36.001,5]]}},"
        + "{\"type\":\"Feature\",\"properties\":{\"kind\":\"rip-line\",\"id\":\"R2\",\"sequence\":2},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-121.999,36.0013,5],[-121.998,36.0012]]}}]}");
}
