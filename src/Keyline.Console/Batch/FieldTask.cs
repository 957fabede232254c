using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;

namespace Keyline.Console.Batch;

/// <summary>One field of a batch: its folder, its job, and whether what stands there is still what would be made.</summary>
/// <remarks>The folder holds field.geojson, job.json, the plan and result.json, which is written last; so a run that was killed is
/// told from one that ended. Files take their places whole.</remarks>
internal sealed class FieldTask
{
    public const string FieldName = "field.geojson";
    public const string JobName = "job.json";
    public const string PlanName = "plan";
    public const string ResultName = "result.json";
    private const string FieldsName = "fields";

    private readonly byte[] _shape;
    private readonly byte[] _job;

    private FieldTask(LayerField field, string folder, byte[] shape, byte[] job, string key) =>
        (Field, Folder, _shape, _job, Key) = (field, folder, shape, job, key);

    public LayerField Field { get; }

    public string Folder { get; }

    /// <summary>A digest of everything the plan is made from: the program's version, the job, the outline, and of each file that the
    /// job names its length and the time it was last changed.</summary>
    public string Key { get; }

    public string JobPath => Path.Combine(Folder, JobName);

    /// <summary>Where a field's folder lies, from the batch's own.</summary>
    public static string RelativeFolder(LayerField field) => FieldsName + "/" + field.Id;

    public static string FolderOf(LayerField field, string outPath) => Path.Combine(Path.GetFullPath(outPath), FieldsName, field.Id);

    /// <summary>Prepares a field without touching the disk.</summary>
    /// <exception cref="UsageException">An attribute cannot be followed.</exception>
    /// <exception cref="GroundDataException">No elevation is listed for it.</exception>
    public static FieldTask Of(LayerField field, BatchRequest request)
    {
        byte[] shape = field.ToGeoJson(), job = request.JobOf(field);
        using IncrementalHash hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        hash.AppendData(Encoding.UTF8.GetBytes(Product.Version));
        hash.AppendData(shape);
        hash.AppendData(job);
        using JsonDocument document = JsonDocument.Parse(job);
        foreach (OptionSpec option in OptionSpec.JobOptions.Where(o => o.Kind == ValueKind.Path && o != OptionSpec.Field && o != OptionSpec.Out))
        {
            if (document.RootElement.TryGetProperty(option.JobKey, out JsonElement value))
            {
                foreach (JsonElement path in value.ValueKind == JsonValueKind.Array ? value.EnumerateArray().ToArray() : [value])
                {
                    hash.AppendData(Encoding.UTF8.GetBytes(Standing(path.ToString())));
                }
            }
        }

        return new FieldTask(field, FolderOf(field, request.OutPath), shape, job, Convert.ToHexStringLower(hash.GetHashAndReset()));
    }

    /// <summary>Whether the field is to be made, by what stands in its folder.</summary>
    public bool IsToBeMade(BatchRequest request) =>
        FieldOutcome.Read(Folder) is not { } before || before.Key != Key || request.MakesAllAgain || (before.HasFailed && request.MakesFailedAgain)
        || (!before.HasFailed && !File.Exists(Path.Combine(Folder, PlanName, Commands.PlanFiles.SummaryName)));

    /// <summary>Puts the field's own files in place, and takes the result of an earlier run away.</summary>
    public void Prepare()
    {
        Directory.CreateDirectory(Folder);
        File.Delete(Path.Combine(Folder, ResultName));
        WriteWhole(Path.Combine(Folder, FieldName), _shape);
        WriteWhole(JobPath, _job);
    }

    /// <summary>Writes a file beside its place and moves it there.</summary>
    public static void WriteWhole(string path, byte[] bytes)
    {
        // Tasks on several machines may share the folder, and a number of a process.
        string beside = FormattableString.Invariant($"{path}.{Environment.MachineName}-{Environment.ProcessId}.new");
        File.WriteAllBytes(beside, bytes);
        File.Move(beside, path, overwrite: true);
    }

    private static string Standing(string path)
    {
        if (Directory.Exists(path))
        {
            return string.Concat(Directory.EnumerateFiles(path).Order(StringComparer.Ordinal).Select(Standing));
        }

        FileInfo file = new(path);
        return file.Exists ? FormattableString.Invariant($"|{file.Name}|{file.Length}|{file.LastWriteTimeUtc.Ticks}") : $"|{path}";
    }
}
