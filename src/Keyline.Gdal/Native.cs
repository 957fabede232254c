using System.Runtime.InteropServices;

namespace Keyline.Gdal;

/// <summary>The few functions of GDAL's C interface that are used.</summary>
/// <remarks>Source: gdal.h, gdal_utils.h, ogr_srs_api.h, cpl_error.h, cpl_vsi.h; unchanged since GDAL 2.1 (2.3 for the axis order).</remarks>
internal static partial class Native
{
    private const string Library = "keyline-gdal";

    // Set to a file to use that library whatever its name.
    private const string Variable = "KEYLINE_GDAL";

    private static readonly nint Handle = Load();
    private static readonly nint QuietHandler = Handle == 0 ? 0 : NativeLibrary.GetExport(Handle, "CPLQuietErrorHandler");

    static Native() => NativeLibrary.SetDllImportResolver(typeof(Native).Assembly, (name, _, _) => name == Library ? Handle : 0);

    /// <summary>Whether the library is here.</summary>
    public static bool IsPresent => Handle != 0;

    /// <summary>Keeps GDAL off the console until it is undone; errors are asked for instead.</summary>
    public static void Quiet()
    {
        CPLPushErrorHandler(QuietHandler);
        CPLErrorReset();
    }

    /// <summary>What GDAL last complained of, in one sentence without its full stop.</summary>
    public static string Complaint() => (Marshal.PtrToStringUTF8(CPLGetLastErrorMsg()) ?? "").ReplaceLineEndings(" ").Trim().TrimEnd('.') is { Length: > 0 } said ? said : "no reason given";

    /// <summary>Texts as GDAL's lists have them: pointers and a null at the end. Freed by the caller.</summary>
    public static nint[] List(params ReadOnlySpan<string> texts)
    {
        nint[] list = new nint[texts.Length + 1];
        for (int i = 0; i < texts.Length; i++)
        {
            list[i] = Marshal.StringToCoTaskMemUTF8(texts[i]);
        }

        return list;
    }

    public static void Free(nint[] list) => Array.ForEach(list, Marshal.FreeCoTaskMem);

    private static nint Load()
    {
        foreach (string name in Names())
        {
            if (NativeLibrary.TryLoad(name, out nint handle))
            {
                if (NativeLibrary.TryGetExport(handle, "GDALVectorTranslate", out _))
                {
                    return handle;
                }

                NativeLibrary.Free(handle);
            }
        }

        return 0;
    }

    private static IEnumerable<string> Names()
    {
        if (Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } given)
        {
            return [given];
        }

        // Linux names carry the version of the interface: 20 is GDAL 2, 26 to 29 are 3.0 to 3.3, 30 on are 3.4 and later.
        IEnumerable<int> newestFirst = Enumerable.Range(0, 31).Select(i => 50 - i);
        return OperatingSystem.IsWindows() ? ["gdal", .. Enumerable.Range(0, 20).Select(i => FormattableString.Invariant($"gdal{319 - i}"))]
            : OperatingSystem.IsMacOS() ? ["libgdal.dylib", "/opt/homebrew/lib/libgdal.dylib", "/usr/local/lib/libgdal.dylib", .. newestFirst.Select(v => FormattableString.Invariant($"libgdal.{v}.dylib"))]
            : ["libgdal.so", .. newestFirst.Select(v => FormattableString.Invariant($"libgdal.so.{v}"))];
    }

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void GDALAllRegister();

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALVersionInfo(string request);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int GDALGetDriverCount();

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALGetDriver(int index);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALGetDriverShortName(nint driver);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALGetDriverLongName(nint driver);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALGetMetadataItem(nint of, string name, string? domain);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALOpenEx(string path, uint flags, nint drivers, nint options, nint siblings);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void GDALClose(nint dataset);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int GDALGetRasterXSize(nint dataset);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int GDALGetRasterYSize(nint dataset);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int GDALGetRasterCount(nint dataset);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALGetRasterBand(nint dataset, int band);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALGetRasterUnitType(nint band);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int GDALSetRasterUnitType(nint band, nint unit);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int GDALGetGeoTransform(nint dataset, [Out] double[] six);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALGetSpatialRef(nint dataset);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint OSRNewSpatialReference(nint wkt);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int OSRImportFromEPSG(nint system, int code);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void OSRSetAxisMappingStrategy(nint system, int strategy);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void OSRDestroySpatialReference(nint system);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint OCTNewCoordinateTransformation(nint from, nint to);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int OCTTransform(nint transformation, int count, [In, Out] double[] x, [In, Out] double[] y, nint z);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void OCTDestroyCoordinateTransformation(nint transformation);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALTranslateOptionsNew(nint[] words, nint binary);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void GDALTranslateOptionsFree(nint options);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALTranslate(string target, nint source, nint options, out int wrongUse);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALWarpAppOptionsNew(nint[] words, nint binary);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void GDALWarpAppOptionsFree(nint options);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALWarp(string target, nint existing, int count, nint[] sources, nint options, out int wrongUse);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int GDALDatasetGetLayerCount(nint dataset);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALDatasetGetLayer(nint dataset, int index);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint OGR_L_GetName(nint layer);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALVectorTranslateOptionsNew(nint[] words, nint binary);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void GDALVectorTranslateOptionsFree(nint options);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint GDALVectorTranslate(string target, nint existing, int count, nint[] sources, nint options, out int wrongUse);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint VSIGetMemFileBuffer(string path, out long length, int unlink);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int VSIUnlink(string path);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void CPLSetThreadLocalConfigOption(string name, string? value);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    public static partial void CPLPopErrorHandler();

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    private static partial void CPLPushErrorHandler(nint handler);

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    private static partial void CPLErrorReset();

    [LibraryImport(Library, StringMarshalling = StringMarshalling.Utf8)]
    private static partial nint CPLGetLastErrorMsg();
}
