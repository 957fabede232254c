using System.Reflection;

namespace Keyline.Formats;

/// <summary>What a plan was made from and with, written into its files so that it can be made again.</summary>
/// <remarks>There is no time of day in it: the same inputs give the same bytes.</remarks>
public sealed class PlanProvenance
{
    /// <summary>Makes a record.</summary>
    /// <param name="version">Version of the program that made the plan.</param>
    /// <param name="inputs">The files it was made from.</param>
    /// <param name="assumed">Plain sentences on what was assumed or changed when the inputs were read.</param>
    /// <param name="warnings">Plain sentences on what the reader of the plan must know beyond what the layout itself says.</param>
    public PlanProvenance(string version, IEnumerable<PlanInput> inputs, IEnumerable<string>? assumed = null, IEnumerable<string>? warnings = null)
    {
        ArgumentNullException.ThrowIfNull(version);
        ArgumentNullException.ThrowIfNull(inputs);
        Version = version;
        Inputs = [.. inputs];
        Assumed = assumed is null ? [] : [.. assumed];
        Warnings = warnings is null ? [] : [.. warnings];
    }

    /// <summary>Version of the program that made the plan.</summary>
    public string Version { get; }

    /// <summary>The files it was made from.</summary>
    public IReadOnlyList<PlanInput> Inputs { get; }

    /// <summary>What was assumed or changed when the inputs were read.</summary>
    public IReadOnlyList<string> Assumed { get; }

    /// <summary>What the reader must know beyond what the layout itself says.</summary>
    public IReadOnlyList<string> Warnings { get; }

    /// <summary>Version of this library, without its build suffix.</summary>
    public static string LibraryVersion { get; } =
        (typeof(PlanProvenance).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "0").Split('+')[0];
}

/// <summary>One input file of a plan.</summary>
/// <param name="Role">What it was: "dem", "field", "avoid", "job".</param>
/// <param name="File">Its name, without a folder.</param>
/// <param name="Sha256">SHA-256 of its bytes, lower-case hexadecimal; null for a file too large to read whole for it.</param>
public sealed record PlanInput(string Role, string File, string? Sha256)
{
    /// <summary>Files larger than this are not read whole for their fingerprint: 2 GiB.</summary>
    public const long LargestHashed = 2L << 30;

    /// <summary>The record of a file.</summary>
    /// <param name="role">What it was: "dem", "field", "avoid", "job".</param>
    /// <param name="path">The file.</param>
    /// <exception cref="GroundDataException">It cannot be read.</exception>
    public static PlanInput Of(string role, string path)
    {
        ArgumentNullException.ThrowIfNull(role);
        ArgumentException.ThrowIfNullOrEmpty(path);
        return new PlanInput(role, Path.GetFileName(path), new FileInfo(path) is { Exists: true, Length: > LargestHashed } ? null : InputHash.OfFile(path));
    }
}
