using System.Runtime.InteropServices;

namespace Keyline.Gdal;

/// <summary>The machine's own GDAL, if it has one.</summary>
/// <remarks>
/// <para>Promises: nothing fails where it is absent; <see cref="IsPresent"/> says so. It is looked for once, under the names it
/// usually has on Linux, Windows and macOS, or where the environment variable KEYLINE_GDAL points.</para>
/// <para>Source: GDAL/OGR contributors, GDAL (MIT licence), through its C interface.</para>
/// </remarks>
public static class GdalLibrary
{
    private static readonly Lazy<string?> Found = new(Begin);

    /// <summary>Whether it is here.</summary>
    public static bool IsPresent => Version is not null;

    /// <summary>Its version, such as 3.6.2; null where it is absent.</summary>
    public static string? Version => Found.Value;

    /// <summary>The formats it reads, by their names; empty where it is absent.</summary>
    public static IReadOnlyList<GdalFormat> Formats()
    {
        if (!IsPresent)
        {
            return [];
        }

        List<GdalFormat> formats = [];
        for (int i = 0; i < Native.GDALGetDriverCount(); i++)
        {
            nint driver = Native.GDALGetDriver(i);
            bool Can(string what) => Text(Native.GDALGetMetadataItem(driver, what, null)) == "YES";
            if (Can("DCAP_OPEN"))
            {
                formats.Add(new GdalFormat(Text(Native.GDALGetDriverShortName(driver)), Text(Native.GDALGetDriverLongName(driver)), Can("DCAP_RASTER"), Can("DCAP_VECTOR")));
            }
        }

        return [.. formats.OrderBy(f => f.Name, StringComparer.OrdinalIgnoreCase)];
    }

    /// <summary>The error where it is absent.</summary>
    internal static void Need(string path)
    {
        if (!IsPresent)
        {
            throw new GroundDataException($"{Path.GetFileName(path)}: it takes GDAL to read it, which is not on this machine; install it (Debian and Ubuntu: apt install libgdal-dev or gdal-bin; macOS: brew install gdal; Windows: OSGeo4W), or convert the file.") { Fault = GroundDataFault.Format };
        }
    }

    internal static string Text(nint text) => Marshal.PtrToStringUTF8(text) ?? "";

    private static string? Begin()
    {
        if (!Native.IsPresent)
        {
            return null;
        }

        Native.GDALAllRegister();
        return Text(Native.GDALVersionInfo("RELEASE_NAME"));
    }
}

/// <summary>A format GDAL reads.</summary>
/// <param name="Name">GDAL's short name of it.</param>
/// <param name="Description">What it is.</param>
/// <param name="IsRaster">Whether elevation can be in it.</param>
/// <param name="IsVector">Whether fields and avoided areas can be in it.</param>
public sealed record GdalFormat(string Name, string Description, bool IsRaster, bool IsVector);
